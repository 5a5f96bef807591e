package web

import (
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/static"
	"coldrail/web/animals"
	"coldrail/web/batches"
	"coldrail/web/bookings"
	"coldrail/web/coolers"
	"coldrail/web/cutting"
	"coldrail/web/dropoff"
	"coldrail/web/help"
	"coldrail/web/holds"
	"coldrail/web/hunter"
	"coldrail/web/kill"
	"coldrail/web/label"
	"coldrail/web/messages"
	"coldrail/web/money"
	"coldrail/web/pickup"
	"coldrail/web/rail"
	"coldrail/web/round"
	"coldrail/web/setup"
	"coldrail/web/signin"
	"coldrail/web/skinning"
	"coldrail/web/today"
	"coldrail/web/ui"

	"github.com/alexedwards/scs/pgxstore"
	"github.com/alexedwards/scs/v2"
	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
)

// routes is the map of the site: every address, grouped by who uses it.
func (s *site) routes() http.Handler {
	sessions := scs.New()
	sessions.Store = pgxstore.New(s.DB.Pool())
	sessions.Lifetime = 300 * 24 * time.Hour // a device stays enrolled for a season; whoever holds it changes by a tap
	sessions.HashTokenInStore, sessions.Codec = true, signin.Codec{}
	sessions.Cookie.Name = s.sessionCookie()
	sessions.Cookie.SameSite = http.SameSiteLaxMode
	sessions.Cookie.Secure = s.Secure
	sessions.ErrorFunc = func(w http.ResponseWriter, r *http.Request, err error) { s.problem(w, r, db.Spoken(err)) }

	gate := &signin.Pages{DB: s.DB, Sessions: sessions, Now: s.Now, Problem: s.problem}

	r := chi.NewRouter()
	r.Use(s.callers(), middleware.RequestID, s.logged, s.steady, s.guarded, timely, s.limitForm,
		http.NewCrossOriginProtection().Handler)
	packed := compressed() // what does not go out packed by itself, as our files and the owners' pages do
	r.NotFound(s.nowhere)
	r.Get("/healthz", s.healthz)
	r.Get("/readyz", s.readyz)
	r.Handle("/static/*", static.Handler(s.Secure))
	r.Handle("/sw.js", static.Worker())

	r.Group(func(r chi.Router) {
		r.Use(s.withShop)

		// A device: what it installs, and what it shows where a page was not kept.
		r.Handle("/manifest.webmanifest", static.Manifest(func(r *http.Request) string { return ui.ShopOf(r.Context()).Name }))
		r.With(packed).Get("/without", s.page(round.ShowWithout))
		r.With(packed).Get("/trust", s.page(s.Trust.Show))
		r.Get("/trust/coldrail.crt", s.Trust.File)

		// The hunter, at home, without a sign-in.
		r.Group(func(r chi.Router) {
			r.Use(perCaller(60), inTheirLanguage)
			owners := &hunter.Pages{DB: s.DB, Now: s.Now, Secret: s.secret}
			r.Get("/s/{token}", s.page(owners.Show))
			r.With(packed).Get("/s", s.page(owners.ShowLookUp))
			r.With(packed).Post("/s", s.page(owners.LookUp))
		})

		// A scale or a sensor, with a token instead of a sign-in.
		r.Group(func(r chi.Router) {
			r.Use(perCaller(600))
			bench := &cutting.Pages{DB: s.DB, Now: s.Now}
			r.Post("/scales/{name}", s.page(bench.Weigh))
			probes := &coolers.Pages{DB: s.DB, Now: s.Now}
			r.Post("/readings", s.page(probes.TakeReadings))
		})

		// A device that may not be enrolled yet.
		r.Group(func(r chi.Router) {
			r.Use(packed, sessions.LoadAndSave)
			r.Get("/enrol", s.page(gate.ShowEnrol))
			r.With(perCaller(10)).Post("/enrol", s.page(gate.Enrol))
			opening := &setup.Pages{DB: s.DB, Sessions: sessions, Now: s.Now}
			r.Get("/setup/open", s.page(opening.ShowOpen))
			r.With(perCaller(10)).Post("/setup/open", s.shop.changes(s.page(opening.Open)))
			r.With(gate.Enrolled).Get("/who", s.page(gate.ShowWho))
			r.With(gate.Enrolled).Post("/who", s.page(gate.Take))
			r.With(gate.Enrolled, gate.Held).Post("/who/language", s.page(gate.ReadIn))
		})

		// The people of the shop.
		r.Group(func(r chi.Router) {
			r.Use(packed, sessions.LoadAndSave, gate.Enrolled, gate.Held, onlyTheirs)
			s.staffRoutes(r)
		})
	})
	return r
}

// staffRoutes are the screens of the people in the shop, one block a screen. Whose
// work each address is stands in roles.go.
func (s *site) staffRoutes(r chi.Router) {
	// Everyone: the first page, the rail, an animal's record, the find box.
	r.Get("/live", s.live)
	// How each of them works, on the screen and on paper.
	r.Get("/help", s.page(help.Show))
	r.Get("/help/words", s.page(help.ShowWords))
	r.Get("/help/{role}", s.page(help.Paper))

	first := &today.Pages{DB: s.DB, Now: s.Now}
	r.Get("/", s.page(first.Show))
	r.Post("/alarms/{id}", s.page(first.HaveAlarm))
	records := &animals.Pages{DB: s.DB, Now: s.Now}
	r.Get("/find", s.page(records.Find))
	r.Get("/animals/{number}", s.page(records.Show))
	r.Post("/animals/{number}/call", s.page(records.LogCall))
	r.Post("/animals/{number}/promise", s.page(records.Promise))
	r.Post("/animals/{number}/weight", s.page(records.Reweigh))
	r.Get("/animals/{number}/signoff", s.page(records.ShowSignoff))
	r.Post("/animals/{number}/signoff/owner", s.page(records.OwnerSigned))
	r.Post("/animals/{number}/signoff/extend", s.page(records.Extend))
	r.Post("/animals/{number}/signoff/week", s.page(records.SignWeek))
	r.Post("/animals/{number}/signoff/end", s.page(records.EndLongHang))
	rails := &rail.Pages{DB: s.DB, Now: s.Now}
	r.Get("/rail", s.page(rails.Show))
	r.Get("/rail/move", s.page(rails.ShowMove))
	r.Post("/rail/move", s.page(rails.Move))

	// The counter, at the tailgate.
	door := &dropoff.Pages{DB: s.DB, Now: s.Now}
	r.Get("/dropoff", s.page(door.Show))
	r.Post("/dropoff", s.page(door.Receive))
	r.Get("/dropoff/forms", s.page(door.ShowForms))
	r.Post("/dropoff/forms", s.page(door.SwitchForm))
	r.Get("/dropoff/refused", s.page(door.ShowRefused))
	r.Post("/dropoff/refused", s.page(door.TurnAway))
	r.Get("/dropoff/refused/{id}/slip", s.page(door.RefusalSlip))
	r.Get("/dropoff/night", s.page(door.ShowNight))
	r.Post("/dropoff/night", s.page(door.FoundInBay))
	r.Get("/dropoff/{number}/hung", s.page(door.ShowHung))
	r.Post("/dropoff/{number}/same", s.page(door.Repeat))
	r.Post("/dropoff/{number}/sign", s.page(door.Sign))
	r.Post("/dropoff/{number}/receipt", s.page(door.GiveReceipt))
	r.Get("/dropoff/owed", s.page(door.ShowOwed))
	r.Get("/dropoff/owed/{number}", s.page(door.ShowTell))
	r.Post("/dropoff/owed/{number}", s.page(door.Tell))

	// The counter's book.
	book := &bookings.Pages{DB: s.DB, Now: s.Now}
	r.Get("/bookings", s.page(book.Show))
	r.Post("/bookings", s.page(book.Book))
	r.Post("/bookings/day", s.page(book.OpenDay))
	r.Post("/bookings/drop", s.page(book.Drop))

	// The skinner.
	knife := &skinning.Pages{DB: s.DB, Now: s.Now}
	r.Get("/skinning", s.page(knife.Show))
	r.Get("/skinning/{number}", s.page(knife.ShowWeigh))
	r.Post("/skinning/{number}", s.page(knife.Weigh))

	// The cutter; and the order, which counter and cutter share.
	table := &cutting.Pages{DB: s.DB, Now: s.Now}
	r.Get("/cutting", s.page(table.Show))
	r.Get("/cutting/plan", s.page(table.ShowPlan))
	r.Post("/cutting/plan/{number}/promise", s.page(table.MovePromise))
	r.Post("/cutting/plan/day", s.page(table.SetDay))
	r.Post("/cutting/plan/works", s.page(table.SetWorks))
	r.Get("/cutting/{number}", s.page(table.ShowTable))
	r.Post("/cutting/{number}/start", s.page(table.Start))
	r.Post("/cutting/{number}/pack", s.page(table.Pack))
	r.Post("/cutting/{number}/trim", s.page(table.Trim))
	r.Post("/cutting/{number}/take-back", s.page(table.TakeBack))
	r.Post("/cutting/{number}/stop", s.page(table.Stop))
	r.Post("/cutting/{number}/finish", s.page(table.Finish))
	r.Post("/cutting/{number}/boxes", s.page(table.BoxUp))
	r.Post("/cutting/{number}/packs", s.page(table.MovePacks))
	r.Post("/cutting/{number}/shelf", s.page(table.MoveBox))
	r.Post("/cutting/{number}/join", s.page(table.Join))
	r.Get("/cutting/{number}/scale", s.page(table.ShowScale))
	r.Get("/cutting/tubs", s.page(table.ShowTubs))
	r.Post("/cutting/tubs", s.page(table.CountTubs))
	r.Get("/animals/{number}/pieces", s.page(table.ShowPieces))
	r.Post("/animals/{number}/pieces", s.page(table.CutOff))
	r.Post("/animals/{number}/pieces/{mark}", s.page(table.SendOff))
	r.Post("/animals/{number}/pieces/{mark}/back", s.page(table.FetchBack))
	r.Get("/animals/{number}/pieces/{mark}", s.page(table.ShowPiece))
	r.Post("/animals/{number}/pieces/{mark}/place", s.page(table.Lay))
	r.Get("/pieces", s.page(table.ShowKeeping))
	r.Get("/office/pieces", s.page(table.ShowClocks))
	r.Post("/office/pieces", s.page(table.SetClocks))
	r.Get("/animals/{number}/order", s.page(table.ShowOrder))
	r.Post("/animals/{number}/order", s.page(table.TakeOrder))
	r.Get("/animals/{number}/order/read", s.page(table.ReadBack))

	// Whoever kills, or takes in killed livestock.
	floor := &kill.Pages{DB: s.DB, Now: s.Now}
	r.Get("/animals/{number}/kill", s.page(floor.Show))
	r.Post("/animals/{number}/kill", s.page(floor.Enter))
	r.Post("/animals/{number}/kill/correct", s.page(floor.Correct))
	r.Post("/animals/{number}/kill/spine", s.page(floor.TakeOut))
	r.Post("/animals/{number}/kill/spine/right", s.page(floor.CorrectSpine))
	r.Post("/animals/{number}/kill/stamp", s.page(floor.Stamp))
	r.Post("/animals/{number}/kill/stamp/off", s.page(floor.TakeStampOff))
	r.Post("/animals/{number}/kill/told", s.page(floor.TellWeight))

	// The sausage kitchen.
	kitchen := &batches.Pages{DB: s.DB, Now: s.Now}
	r.Get("/batches", s.page(kitchen.Show))
	r.Get("/batches/new", s.page(kitchen.ShowNew))
	r.Get("/batches/tables", s.page(kitchen.ShowTables))
	r.Get("/batches/{batch}", s.page(kitchen.ShowBatch))
	r.Get("/machines", s.page(kitchen.ShowMachines))
	r.Post("/batches/new", s.page(kitchen.Start))
	r.Post("/batches/{batch}/add", s.page(kitchen.Add))
	r.Post("/batches/{batch}/take-out", s.page(kitchen.TakeOut))
	r.Post("/batches/{batch}/lot", s.page(kitchen.AddLot))
	r.Post("/batches/{batch}/cure", s.page(kitchen.Cure))
	r.Post("/batches/{batch}/mix", s.page(kitchen.Mix))
	r.Post("/batches/{batch}/machine", s.page(kitchen.Machine))
	r.Post("/batches/{batch}/probe", s.page(kitchen.Probe))
	r.Post("/batches/{batch}/accept", s.page(kitchen.Accept))
	r.Post("/batches/{batch}/finish", s.page(kitchen.Finish))
	r.Post("/batches/{batch}/give", s.page(kitchen.Give))
	r.Post("/batches/{batch}/reopen", s.page(kitchen.Reopen))
	r.Post("/batches/{batch}/destroy", s.page(kitchen.Destroy))
	r.Post("/machines/run", s.page(kitchen.Run))
	r.Post("/machines/clean", s.page(kitchen.Clean))

	// Whoever stops an animal, and whoever frees it: with a PIN.
	stops := &holds.Pages{DB: s.DB, Now: s.Now}
	r.Get("/animals/{number}/holds", s.page(stops.Show))
	r.Post("/animals/{number}/holds", s.page(stops.Open))
	r.Post("/animals/{number}/holds/{hold}", s.page(stops.Close))
	r.Post("/animals/{number}/sample", s.page(stops.Draw))
	r.Post("/animals/{number}/sample/send", s.page(stops.Send))
	r.Post("/animals/{number}/sample/result", s.page(stops.SeeResult))
	r.Post("/animals/{number}/sample/meanwhile", s.page(stops.Meanwhile))

	// The counter, when somebody comes for their meat, and the money.
	counter := &pickup.Pages{DB: s.DB, Now: s.Now, Link: s.ownersLink, ShareLink: s.sharesLink}
	r.Get("/pickup", s.page(counter.ShowFind))
	r.Get("/pickup/{number}", s.page(counter.Show))
	r.Post("/pickup/{number}", s.page(counter.HandOver))
	r.Post("/pickup/{number}/handovers/{handover}", s.page(counter.Correct))
	r.Post("/pickup/{number}/call", s.page(counter.Call))
	r.Post("/pickup/{number}/link", s.page(counter.NewLink))
	r.Post("/pickup/{number}/named", s.page(counter.MayCollect))
	r.Get("/pickup/unclaimed", s.page(counter.ShowUnclaimed))
	r.Get("/pickup/{number}/letters", s.page(counter.ShowLetters))
	r.Post("/pickup/{number}/letters", s.page(counter.Letter))
	r.Post("/pickup/{number}/letters/approve", s.page(counter.Approve))
	r.Get("/pickup/{number}/letters/{id}", s.page(counter.LetterSheet))
	r.Get("/pickup/{number}/donation", s.page(counter.DonationSheet))
	r.Get("/pickup/{number}/report", s.page(counter.ReportSheet))
	r.Post("/pickup/{number}/give-away", s.page(counter.GiveAway))
	r.Post("/pickup/{number}/storage", s.page(counter.ApproveStorage))
	r.Post("/pickup/{number}/storage/stop", s.page(counter.StopStorage))
	r.Get("/office/storage", s.page(counter.ShowStorage))
	r.Post("/office/storage", s.page(counter.SetStorage))
	r.Get("/office/fetching", s.page(counter.ShowFetching))
	r.Post("/office/fetching", s.page(counter.SetFetching))
	words := &messages.Pages{DB: s.DB, Now: s.Now, Link: s.ownersLink, Password: s.MailPassword}
	r.Get("/messages", s.page(words.Show))
	r.Post("/messages/{message}/now", s.page(words.SendNow))
	r.Post("/messages/{message}/call", s.page(words.CallInstead))
	r.Post("/messages/{message}/called", s.page(words.Called))
	r.Get("/animals/{number}/messages", s.page(words.ShowAbout))
	r.Post("/animals/{number}/messages/{person}", s.page(words.SetReach))
	r.Get("/office/messages", s.page(words.ShowOffice))
	r.Post("/office/messages", s.page(words.SetMessages))
	r.Get("/office/messages/{kind}", s.page(words.ShowWording))
	r.Post("/office/messages/{kind}", s.page(words.Word))
	till := &money.Pages{DB: s.DB, Now: s.Now}
	r.Get("/animals/{number}/money", s.page(till.Show))
	r.Post("/animals/{number}/money/deposit", s.page(till.Deposit))
	r.Post("/animals/{number}/money/pay", s.page(till.Pay))
	r.Post("/animals/{number}/money/refund", s.page(till.Refund))
	r.Post("/animals/{number}/money/bill", s.page(till.Bill))
	r.Post("/animals/{number}/money/charge", s.page(till.Charge))
	r.Post("/animals/{number}/money/rest", s.page(till.BillRest))
	r.Post("/animals/{number}/money/keep", s.page(till.Keep))
	r.Post("/animals/{number}/money/give", s.page(till.Give))

	// Paper that goes with the animal and its meat.
	paper := &label.Pages{DB: s.DB, Now: s.Now}
	if s.PublicURL != "" {
		paper.Link, paper.ShareLink = s.ownersLink, s.sharesLink
	}
	r.Get("/animals/{number}/slip", s.page(paper.Slip))
	r.Get("/animals/{number}/tag", s.page(paper.RailTag))
	r.Get("/animals/{number}/cutsheet", s.page(paper.CutSheet))
	r.Get("/animals/{number}/boxes/{n}/label", s.page(paper.Box))
	r.Get("/animals/{number}/packs/{line}/label", s.page(paper.Pack))
	r.Get("/animals/{number}/pieces/{mark}/label", s.page(paper.Piece))
	r.Post("/animals/{number}/printed", s.page(paper.Printed))
	r.Get("/animals/{number}/proof", s.page(paper.Proof))
	r.Get("/labels/ruler", s.page(paper.ShowRuler))
	r.Post("/labels/ruler", s.page(paper.Measure))
	r.Get("/animals/{number}/payments/{receipt}", s.page(paper.Payment))
	r.Get("/animals/{number}/receipt", s.page(paper.Receipt))

	// Whoever walks the cooler; the lead decides what was stopped.
	walks := &round.Pages{DB: s.DB, Now: s.Now}
	r.Get("/round", s.page(walks.ShowRooms))
	r.Post("/round/shift", s.page(walks.BeginShift))
	r.Post("/round/discard", s.page(walks.Discard))
	r.Get("/round/move", s.page(walks.ShowMoveAny))
	r.Get("/round/drop", s.page(walks.ShowDrop))
	r.Get("/round/look", s.page(walks.ShowLookAny))
	r.Post("/round/look", s.page(walks.LookAny))
	r.Get("/photos/{id}", s.page(walks.ShowPhoto))
	r.Get("/round/{room}", s.page(walks.ShowRound))
	r.Post("/round/{room}/room", s.page(walks.CheckRoom))
	r.Post("/round/{room}/rails/{rail}", s.page(walks.CountRail))
	r.Post("/round/{room}/rails/{rail}/tags", s.page(walks.ReadTags))
	r.Post("/round/{room}/looks", s.page(walks.LookHere))
	r.Post("/round/{room}/end", s.page(walks.End))
	r.Get("/round/{room}/paper", s.page(walks.ShowPaper))
	r.Post("/round/{room}/paper", s.page(walks.EnterPaper))
	r.Get("/round/{room}/sheet", s.page(walks.Sheet))
	r.Get("/round/actions", s.page(walks.ShowActions))
	r.Post("/round/actions/{id}/done", s.page(walks.PutRight))
	r.Post("/round/actions/{id}/close", s.page(walks.SeeRight))
	r.Get("/office/rounds", s.page(walks.ShowHours))
	r.Post("/office/rounds", s.page(walks.SetHours))
	r.Get("/round/thermometers", s.page(walks.ShowThermometers))
	r.Post("/round/thermometers", s.page(walks.AddThermometer))
	r.Post("/round/thermometers/{id}/ice", s.page(walks.CheckInIce))
	r.Post("/round/thermometers/{id}/retire", s.page(walks.RetireThermometer))
	r.Post("/round/look-back/{check}/{round}", s.page(walks.LookAgain))
	r.Get("/round/walked/{id}", s.page(walks.ShowWalked))
	r.Get("/animals/{number}/look", s.page(walks.ShowLook))
	r.Post("/animals/{number}/look", s.page(walks.Look))
	r.Post("/animals/{number}/decide", s.page(walks.Decide))

	// Everyone: each room's air, rounds and load.
	rooms := &coolers.Pages{DB: s.DB, Now: s.Now}
	r.Get("/coolers", s.page(rooms.ShowAll))
	r.Get("/coolers/{name}", s.page(rooms.Show))
	r.Get("/coolers/{name}/fit", s.page(rooms.ShowFit))
	r.Get("/coolers/{name}/import", s.page(rooms.ShowImport))
	r.Post("/coolers/{name}/import", s.page(rooms.Import))
	r.Post("/coolers/{name}/fit", s.page(rooms.AcceptFit))
	r.Post("/coolers/{name}/fit/drop", s.page(rooms.DropFit))
	r.Get("/coolers/{name}/limits", s.page(rooms.ShowRules))
	r.Post("/coolers/{name}/limits", s.page(rooms.SetRules))
	r.Post("/coolers/{name}/load", s.page(rooms.Load))
	r.Get("/coolers/incidents/{id}", s.page(rooms.ShowIncident))
	r.Get("/coolers/incidents/{id}/report", s.page(rooms.PrintIncident))
	r.Post("/coolers/incidents/{id}/measure", s.page(rooms.MeasureMeat))
	r.Post("/coolers/incidents/{id}/decide", s.page(rooms.DecideIncident))
	r.Post("/coolers/incidents/{id}/close", s.page(rooms.CloseIncident))

	s.officeRoutes(r)
}
