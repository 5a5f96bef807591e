-- What a state asks, one row for each rule and version: nothing about a state
-- stands in the code. A changed rule is a new version; the one before ends.
CREATE TABLE statutes (
  id         uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  key        text NOT NULL CHECK (key ~ '^[a-z0-9][a-z0-9-]{1,60}$'),
  version    integer NOT NULL DEFAULT 1 CHECK (version >= 1),
  state      text NOT NULL CHECK (state ~ '^([A-Z]{2,3}|[*])$'),   -- * any state: the shop's own default; US: federal
  state_name text NOT NULL DEFAULT '',
  topic      text NOT NULL CHECK (topic IN ('register', 'retention', 'proof', 'tag', 'transport', 'report', 'receipt', 'test',
               'abandonment', 'donation', 'livestock', 'same-plant', 'possession')),
  covers     text NOT NULL CHECK (covers IN ('game', 'livestock', 'both')),
  species    text[] NOT NULL DEFAULT '{}',      -- empty: all
  form       text NOT NULL DEFAULT '' CHECK (form IN ('', 'whole', 'quarters', 'boned')),
  fields     text[] NOT NULL DEFAULT '{}',      -- of the register
  trigger    text NOT NULL DEFAULT '' CHECK (trigger IN ('', 'from-outside', 'from-zone', 'positive', 'month-end', 'season-end', 'yearly', 'abandoned', 'in', 'out')),
  starts     text NOT NULL DEFAULT '' CHECK (starts IN ('', 'receipt', 'release', 'disposal', 'preparation', 'year-end', 'kill', 'leaving',
               'acceptance', 'knowledge', 'month-end', 'season-end', 'mailing')),
  count      integer NOT NULL DEFAULT 0 CHECK (count >= 0),
  unit       text NOT NULL DEFAULT '' CHECK (unit IN ('', 'hours', 'business-days', 'days', 'months', 'years', 'day-of-month', 'date')),
  tell       text NOT NULL DEFAULT '',
  must       text NOT NULL DEFAULT '',          -- what the report has to say
  pending    text NOT NULL DEFAULT '' CHECK (pending IN ('', 'no', 'bone-and-hold', 'yes')),
  places     text[] NOT NULL DEFAULT '{}',      -- counties or units of a zone; empty: all of the state
  says       text NOT NULL CHECK (says <> ''),
  cites      text NOT NULL CHECK (cites <> ''),
  text_date  text NOT NULL DEFAULT '',
  checked_by text NOT NULL DEFAULT '',          -- who of the shop asked the state, and when
  checked_on date,
  review_on  date,
  since      timestamptz NOT NULL DEFAULT now(),
  until      timestamptz,                       -- NULL: in force
  by_staff   uuid REFERENCES staff,             -- NULL: came with the program
  UNIQUE (key, version),
  CHECK ((count = 0) = (unit = '')),
  CHECK (unit = '' OR starts <> ''),
  CHECK ((checked_by = '') = (checked_on IS NULL)),
  CHECK (topic <> 'register' OR fields <> '{}')
);
CREATE UNIQUE INDEX statutes_in_force ON statutes (key) WHERE until IS NULL;

GRANT SELECT, INSERT, UPDATE (until) ON statutes TO coldrail_app;

-- As read in the texts named; older editions and quotes are said to be so.
-- Nobody in the shop has checked them yet, and they show as such.
INSERT INTO statutes (key, state, state_name, topic, covers, fields, says, cites, text_date) VALUES
  ('any-register-game', '*', 'Any state', 'register', 'game', '{received,deliverer,taker,taker_address,licence,owner,phone,tag,tag_state,species,sex,form,kill_state,county,killed}', 'What the register asks of each game animal: the union of the states'' own lists that were seen.', 'union of the state rules below; the shop may ask for less where its own state does', ''),
  ('any-register-livestock', '*', 'Any state', 'register', 'livestock', '{received,deliverer,owner,owner_address,phone,species,sex,ear_tag,form,killed}', 'What the register asks of livestock: owner, kinds and numbers, dates.', '9 CFR 303.1 and 320.1, partly from memory', 'date of the text not known'),
  ('ca-register', 'CA', 'California', 'register', 'game', '{deliverer,deliverer_address,taker,taker_address,licence,tag,kill_state,county,unit,species,received}', 'Names and addresses of who brought it and who took it; the taker''s ID or licence and tag number; place of kill; species; date received.', '14 CCR 711', 'date of the text not known'),
  ('co-register', 'CO', 'Colorado', 'register', 'both', '{owner,received,species,tag}', 'At delivery a tag and a receipt with owner, processor, date and time, description and tag number.', '8 CCR 1202-13 part 3', 'date of the text not known'),
  ('il-register', 'IL', 'Illinois', 'register', 'game', '{received,owner,owner_address,phone,form,tag,tag_state}', 'Date; name, address and phone; whole or deboned, with its weight; permit number and state; to whom unclaimed meat was given.', '520 ILCS 5/2.36, wording amended', 'Public Acts 97-567 and 103-990'),
  ('in-register', 'IN', 'Indiana', 'register', 'game', '{received,owner,owner_address,kill_state,tag}', 'Dates in and out; owner''s name and address; state of kill; tag, seal or confirmation number.', '312 IAC 9-3-10, as quoted', '2018'),
  ('mi-register', 'MI', 'Michigan', 'register', 'game', '{owner,owner_address,received,licence}', 'All wild animals: owner''s name and address, date accepted, licence or permit number; kept on the premises.', 'Wildlife Conservation Order 4.4, as quoted', '2009'),
  ('sd-register', 'SD', 'South Dakota', 'register', 'game', '{deliverer,species,received,owner,owner_address}', 'Who brought it, species and count, date, owner''s name and address; date out and to whom.', 'ARSD 41:06:03:11', 'date of the text not known'),
  ('tx-register', 'TX', 'Texas', 'register', 'game', '{taker,taker_address,licence,county,property}', 'Cold storage book: name, address and licence number, and the county and ranch of harvest.', '31 TAC 65.10', '2023-24'),
  ('mn-register', 'MN', 'Minnesota', 'register', 'game', '{tag}', 'Write down the agency''s number of every deer.', 'Minnesota Dept. of Agriculture, wild game processing', 'date of the text not known'),
  ('me-register-livestock', 'ME', 'Maine', 'register', 'livestock', '{owner,species,age,received}', 'Owner, animals, age of cattle, quantity.', 'Maine custom exempt review', 'date of the text not known'),
  ('co-register-livestock', 'CO', 'Colorado', 'register', 'livestock', '{received,species,owner}', 'Each transaction: date, description, species and quantity, owner.', 'CRS 35-33-201 and 202', 'date of the text not known'),
  ('ut-register-livestock', 'UT', 'Utah', 'register', 'livestock', '{received,owner,owner_address,phone,species}', 'Ticket: date, owner''s name, address and phone, plant, species.', 'Utah R58-12', 'date of the text not known');
INSERT INTO statutes (key, state, state_name, topic, covers, form, fields, says, cites, text_date) VALUES
  ('any-register-boned', '*', 'Any state', 'register', 'game', 'boned', '{weight}', 'Boned meat also owes its weight.', '520 ILCS 5/2.36 (Illinois), asked everywhere', 'date of the text not known');
INSERT INTO statutes (key, state, state_name, topic, covers, species, fields, says, cites, text_date) VALUES
  ('any-register-cattle', '*', 'Any state', 'register', 'livestock', '{beef,veal}', '{age}', 'Cattle also owe their age and how it is known: the 30-month rule turns on it.', '9 CFR 310.22', '2007');
INSERT INTO statutes (key, state, state_name, topic, covers, starts, count, unit, says, cites, text_date) VALUES
  ('any-keep', '*', 'Any state', 'retention', 'both', 'receipt', 5, 'years', 'The shop keeps the line of an animal five years, unless a rule asks for longer.', 'common practice, no source', ''),
  ('mi-keep', 'MI', 'Michigan', 'retention', 'game', 'receipt', 90, 'days', 'Ninety days from receipt.', 'Wildlife Conservation Order 4.4, as quoted', '2009'),
  ('sd-keep', 'SD', 'South Dakota', 'retention', 'game', 'receipt', 1, 'years', 'One year from receipt.', 'ARSD 41:06:03:11', 'date of the text not known'),
  ('ca-keep', 'CA', 'California', 'retention', 'game', 'receipt', 1, 'years', 'One year for animals retained.', '14 CCR 711', 'date of the text not known'),
  ('co-keep-game', 'CO', 'Colorado', 'retention', 'game', 'release', 1, 'years', 'One year after release or disposal.', '2 CCR 406-0-018', 'date of the text not known'),
  ('co-keep', 'CO', 'Colorado', 'retention', 'both', 'receipt', 2, 'years', 'Two years.', '8 CCR 1202-13 part 3', 'date of the text not known'),
  ('ut-keep', 'UT', 'Utah', 'retention', 'livestock', 'receipt', 1, 'years', 'One year, for the ticket.', 'Utah R58-12', 'date of the text not known'),
  ('in-keep', 'IN', 'Indiana', 'retention', 'game', 'preparation', 18, 'months', 'Eighteen months from preparation.', '312 IAC 9-3-10, as quoted', '2018'),
  ('tx-keep', 'TX', 'Texas', 'retention', 'livestock', 'receipt', 2, 'years', 'Two years for custom slaughter.', '25 TAC 221.14', 'older version'),
  ('me-keep', 'ME', 'Maine', 'retention', 'livestock', 'receipt', 2, 'years', 'Two years.', 'Maine custom exempt review; 12 MRS 12955', 'date of the text not known'),
  ('va-keep', 'VA', 'Virginia', 'retention', 'game', 'receipt', 3, 'years', 'Three years, for the taxidermist''s record.', '4VAC15-290-80', 'date of the text not known'),
  ('wi-keep', 'WI', 'Wisconsin', 'retention', 'both', 'receipt', 3, 'years', 'Three years for the slaughter and processing record, with initials.', 'ATCP 55.07(13)', 'date of the text not known'),
  ('wi-72h', 'WI', 'Wisconsin', 'transport', 'game', 'kill', 72, 'hours', 'From an affected county, whole or with spine or head, only to a permitted or licensed processor or taxidermist, within 72 hours of harvest. Else: cut and wrapped or boned meat, quarters without spine or head.', 'Wisconsin DNR, carcass movement page', 'date of the text not known'),
  ('mo-48h', 'MO', 'Missouri', 'transport', 'game', 'leaving', 48, 'hours', 'To a licensed processor within 48 hours of leaving the county of kill.', '3 CSR 10-4.135', 'date of the text not known'),
  ('wy-abandon', 'WY', 'Wyoming', 'abandonment', 'game', 'receipt', 45, 'days', 'Not over 45 days; then a mailed notice and 10 days from its postmark; keep the notice and a returned letter; report to enforcement. Never sold.', 'Wyoming abandonment rules, second-hand summary', 'date of the text not known'),
  ('ia-abandon', 'IA', 'Iowa', 'abandonment', 'game', 'mailing', 2, 'months', 'Two months after at least one ordinary letter to the last address; then to a local nonprofit; venison only, nothing of several species.', 'Iowa Code ch. 556H', '2001'),
  ('nj-possession', 'NJ', 'New Jersey', 'possession', 'game', 'receipt', 601, 'date', 'Deer parts may be held to June 1 after the season, then by an officer''s leave.', 'N.J.S.A. 23:4-43', 'date of the text not known');
INSERT INTO statutes (key, state, state_name, topic, covers, trigger, starts, count, unit, tell, must, says, cites, text_date) VALUES
  ('any-tell-owners', '*', 'Any state', 'report', 'both', 'positive', 'knowledge', 24, 'hours', 'each owner it may have reached', 'what was found, which packs, and the choice: replacement, money back or discard; their answer', 'After a detected result: tell each owner whose meat it may have reached, and write down what they want.', 'common practice, no source', ''),
  ('ky-import', 'KY', 'Kentucky', 'report', 'game', 'from-outside', 'acceptance', 48, 'hours', 'law enforcement of the wildlife agency', 'the hunter''s name and address; what was taken in, from which state; the parts handed over', 'A head or spine from out of state: tell law enforcement within 48 hours of accepting it, and hand the parts over.', '301 KAR 2:095, superseded text', 'superseded'),
  ('mi-positive', 'MI', 'Michigan', 'report', 'game', 'positive', 'knowledge', 2, 'business-days', 'the wildlife agency', 'the shop number, the sample''s number and result, the hunter, what is left of it', 'Two business days after notice of a positive.', 'Michigan and MSU deer intake protocol, earlier version', 'date of the text not known'),
  ('mi-untested', 'MI', 'Michigan', 'report', 'game', 'from-zone', 'acceptance', 2, 'business-days', 'the wildlife agency', 'the shop number, the county, the hunter', 'A carcass from a listed area without a survey tag or a result: tell the agency.', 'Michigan and MSU deer intake protocol, earlier version', 'date of the text not known'),
  ('va-positive', 'VA', 'Virginia', 'report', 'game', 'positive', 'knowledge', 72, 'hours', 'the customer, who reports to the agency', 'the result and where it was read', 'Whoever brought a carcass in and is told it is positive reports within 72 hours; the shop tells the customer.', 'Virginia import summary, older', 'date of the text not known'),
  ('la-season', 'LA', 'Louisiana', 'report', 'game', 'season-end', 'season-end', 10, 'days', 'the wildlife agency', 'names, addresses, quantities, dates', 'Season''s report within 10 days of the close: names, addresses, quantities, dates.', 'La. RS 56:120', 'date of the text not known'),
  ('ut-ticket', 'UT', 'Utah', 'report', 'livestock', 'month-end', 'month-end', 10, 'day-of-month', 'the department of agriculture', 'one ticket for each animal: date, owner''s name, address and phone, plant, species', 'One Not For Sale ticket for each owner-slaughtered animal, mailed by the 10th of the next month.', 'Utah R58-12', 'date of the text not known'),
  ('in-register-yearly', 'IN', 'Indiana', 'report', 'game', 'yearly', 'year-end', 301, 'date', 'the wildlife agency', 'the shop''s registration', 'Register the business each year by 1 March.', '312 IAC 9-3-10, as quoted', '2018'),
  ('wy-abandoned', 'WY', 'Wyoming', 'report', 'game', 'abandoned', 'mailing', 10, 'days', 'game and fish enforcement', 'the owner, the notice with its postmark, the returned letter, what is held', 'Report abandoned meat to enforcement after the notice has run out.', 'Wyoming abandonment rules, second-hand summary', 'date of the text not known');
INSERT INTO statutes (key, state, state_name, topic, covers, says, cites, text_date) VALUES
  ('ca-inspection', 'CA', 'California', 'proof', 'game', 'The record is open to wardens.', '14 CCR 711', 'date of the text not known'),
  ('mn-identify', 'MN', 'Minnesota', 'proof', 'game', 'Identify each animal before its owner leaves; refuse what is spoiled; keep it apart.', 'Minn. R. 1540.4455 and 1540.4470', 'date of the text not known'),
  ('ga-licence', 'GA', 'Georgia', 'proof', 'game', 'A wildlife storage permit is needed; see the licence of whoever delivers.', 'OCGA 27-2-15', '2010'),
  ('la-licence', 'LA', 'Louisiana', 'proof', 'game', 'Take game from licensees only; write the storage date on the tag; open to inspection at all times.', 'La. RS 56:120', 'date of the text not known'),
  ('co-possession', 'CO', 'Colorado', 'proof', 'game', 'Possession is shown by the tag or a donation certificate.', '2 CCR 406-0-018', 'date of the text not known'),
  ('il-proof', 'IL', 'Illinois', 'proof', 'game', 'Permit number and state, or a written certification.', '520 ILCS 5/2.36, wording amended', 'Public Acts 97-567 and 103-990'),
  ('sc-proof', 'SC', 'South Carolina', 'proof', 'game', 'Take nothing untagged; a carcass is marked with name, address and licence unless the tag is on it.', 'South Carolina DNR summary', '2021'),
  ('mn-permit', 'MN', 'Minnesota', 'proof', 'game', 'A custom exempt permit and a food licence, unless within the small exemption (200 deer or $20,000 a year; raw cutting, grinding, packing; returned to the owner, not for sale).', 'Minn. Stat. 31A, 28A.153', 'date of the text not known'),
  ('il-tag', 'IL', 'Illinois', 'tag', 'game', 'Harvest tag and number stay attached until at the taker''s residence, checked in and processed; the check-station tag then stays with the meat; the number goes with the head to a taxidermist.', '17 IAC 660.45 and 650.45', 'date of the text not known'),
  ('tx-tag', 'TX', 'Texas', 'tag', 'game', 'The tag''s duty ends with the book entry and county and ranch; a removed tag is kept on the premises as long as any part of the deer is there.', '31 TAC 65.10', '2023-24'),
  ('wa-tag', 'WA', 'Washington', 'tag', 'game', 'The tag stays with the edible parts; the cutter keeps it, the hunter a copy; it goes back with the meat.', 'WAC 220-413-020 and the agency''s questions and answers', 'date of the text not known'),
  ('sc-tag', 'SC', 'South Carolina', 'tag', 'game', 'The tag may come off once processing starts or the deer is quartered.', 'South Carolina DNR summary', '2021'),
  ('wi-tag', 'WI', 'Wisconsin', 'tag', 'game', 'Tags are kept until the meat is eaten; they may be off at butchering.', 'Wis. Stat. 29.347(2m)', '1997'),
  ('or-tag', 'OR', 'Oregon', 'tag', 'game', 'The tag stays with the parts as long as they are preserved; evidence of sex attached.', 'OAR 635-065-0765', 'date of the text not known'),
  ('pa-tag', 'PA', 'Pennsylvania', 'tag', 'game', 'Tag with name, address, licence and location.', '34 Pa.C.S. 2328; 58 Pa. Code 137.35', 'date of the text not known'),
  ('mo-tag', 'MO', 'Missouri', 'tag', 'game', 'Label with the taker''s name and address, date and confirmation number.', '3 CSR 10-4.135', 'date of the text not known'),
  ('ga-import', 'GA', 'Georgia', 'transport', 'game', 'Bans on bringing carcasses in: cut and wrapped or boned meat, quarters without spine or head, hides without heads, cleaned skull plates.', 'OCGA 27-5-2.1', 'date of the text not known'),
  ('ms-zone', 'MS', 'Mississippi', 'transport', 'game', 'No processor takes bone-in animals from both inside and outside the high-risk zone.', 'Mississippi CWD response plan, plan text', 'date of the text not known'),
  ('pa-sites', 'PA', 'Pennsylvania', 'transport', 'game', 'From a management area only to the approved high-risk sites.', '58 Pa. Code 137.35', 'date of the text not known'),
  ('sd-abandon', 'SD', 'South Dakota', 'abandonment', 'game', 'A term agreed at deposit; then to any charity; never the processor''s own.', 'ARSD 41:06:03:14', 'date of the text not known'),
  ('sc-abandon', 'SC', 'South Carolina', 'abandonment', 'game', 'May be given away free; may not be sold to recover the fee; take a deposit.', 'South Carolina DNR summary', '2021'),
  ('il-abandon', 'IL', 'Illinois', 'abandonment', 'game', 'Unclaimed after a reasonable time, or surrendered: give or donate; the recipient may pay the usual fee; record the exchange.', '520 ILCS 5/2.36, wording amended', 'Public Acts 97-567 and 103-990'),
  ('pa-abandon', 'PA', 'Pennsylvania', 'abandonment', 'game', 'Abandoned venison may be transferred; food banks have sections of their own.', '58 Pa. Code 147.141 to 147.146, index', 'date of the text not known'),
  ('wy-donation', 'WY', 'Wyoming', 'donation', 'game', 'Donated game is labelled as the statute words it.', 'W.S. 35-7-1302', 'date of the text not known'),
  ('mn-donation', 'MN', 'Minnesota', 'donation', 'game', 'Only under the programme''s processor and charity rules; tested where the programme asks.', 'Minnesota Dept. of Agriculture, venison donation rules', 'date of the text not known'),
  ('ia-donation', 'IA', 'Iowa', 'donation', 'game', 'Abandoned venison goes to a local nonprofit; nothing mixed with another species.', 'Iowa Code ch. 556H', '2001'),
  ('us-exempt', 'US', 'United States', 'livestock', 'both', 'Custom exemption: owner-delivered livestock, own-raised, game; for household, nonpaying guests and employees.', '21 USC 623(a)', 'date of the text not known'),
  ('us-nfs', 'US', 'United States', 'livestock', 'both', 'Not For Sale, letters at least 3/8 inch, on carcass and pack; packed at once.', '9 CFR 316.16 and 317.16', '2019'),
  ('us-cleaning', 'US', 'United States', 'livestock', 'both', 'Cleaning, the file of chemicals, protection of product.', '9 CFR 416.4', 'date of the text not known'),
  ('us-cure', 'US', 'United States', 'livestock', 'both', 'Cure: at most 200 ppm nitrite and 500 ppm nitrate, wild game included.', '21 CFR 172.170', 'date of the text not known'),
  ('us-scale', 'US', 'United States', 'livestock', 'both', 'A weight behind a charge needs a commercial scale.', 'NIST Handbook 44, G-A.1', 'date of the text not known'),
  ('co-marks', 'CO', 'Colorado', 'livestock', 'livestock', 'Not For Sale, 3/8 inch, with the owner; packs with owner, date wrapped, contents; returned or made unfit for food.', 'CRS 35-33-201 and 202', 'date of the text not known'),
  ('ut-marks', 'UT', 'Utah', 'livestock', 'livestock', 'Ticket, four tags to an animal, stamp.', 'Utah R58-12', 'date of the text not known'),
  ('me-marks', 'ME', 'Maine', 'livestock', 'livestock', 'Owner, animals, ages of cattle, quantity, Not For Sale, the 30-month parts; a hide dealer keeps a record three years.', 'Maine custom exempt review; 12 MRS 12955', 'date of the text not known'),
  ('wi-plant', 'WI', 'Wisconsin', 'same-plant', 'game', 'Game only when no livestock work is running; clean and sanitise before going back; store apart; marked Not For Sale so that it cannot be mistaken.', 'Wisconsin Register, ATCP 55 wild game notice', '2001'),
  ('tx-plant', 'TX', 'Texas', 'same-plant', 'both', 'Hunter-killed game is outside the custom section; exotics and feral swine only where the same plant does no other meat.', '25 TAC 221.14', 'date of the text not known'),
  ('ny-unfit', 'NY', 'New York', 'proof', 'game', 'Game unfit to eat is surrendered to an officer.', 'ECL 11-0921', 'date of the text not known'),
  ('ky-edible', 'KY', 'Kentucky', 'proof', 'game', 'The edible parts are quarters and outer loins, unless spoiled by the way it was taken; parts are disposed of as the rule says.', '301 KAR 2:245, superseded text', 'superseded');
INSERT INTO statutes (key, state, state_name, topic, covers, trigger, says, cites, text_date) VALUES
  ('co-receipt', 'CO', 'Colorado', 'receipt', 'both', 'in', 'At delivery: owner, processor, date and time, description, tag number.', '8 CCR 1202-13 part 3', 'date of the text not known'),
  ('sd-receipt', 'SD', 'South Dakota', 'receipt', 'game', 'out', 'Nothing leaves without a receipt: facility''s name, number and species, owner''s name.', 'ARSD 41:06:03:11', 'date of the text not known');
INSERT INTO statutes (key, state, state_name, topic, covers, pending, says, cites, text_date) VALUES
  ('mi-pending', 'MI', 'Michigan', 'test', 'game', 'no', 'Isolate it: bag, space, a separate rail, an extra legible mark. Do not cut while the result is out.', 'MSU deer intake protocol', '2022'),
  ('mn-pending', 'MN', 'Minnesota', 'test', 'game', 'bone-and-hold', 'Three lawful ways while it waits: hold carcass or trim; debone at the end of the day and hold the trim apart; break to primals and store. A negative is written: not detected.', 'Minnesota Dept. of Agriculture, tips for meat processors', 'date of the text not known');
INSERT INTO statutes (key, state, state_name, topic, covers, species, says, cites, text_date) VALUES
  ('us-srm', 'US', 'United States', 'livestock', 'livestock', '{beef}', 'Cattle of 30 months and more: the listed parts are removed and kept out of food.', '9 CFR 310.22', '2007');

COMMENT ON SCHEMA public IS 'coldrail 30';
