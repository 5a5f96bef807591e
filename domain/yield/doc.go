// Package yield says how much boneless meat an animal should give, as a range
// from typical to clean, and how much it loses while it hangs.
//
// A weight outside its range is a reason to check the tub and the neighbours, not
// a judgement on anybody.
package yield
