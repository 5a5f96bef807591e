DROP TABLE contacts, handovers, payments, charges;
