// Package cure computes what keeps a sausage from hurting somebody: how much
// nitrite goes in, how much fat, how hot and how long it was cooked, how fast it
// was cooled, and what freezing does and does not do.
//
// Nitrite (nitrite.go): FSIS Directive 7620.3 (Processing Inspectors' Calculations
// Handbook, rev. 1995). Fat (blend.go): the Pearson square. Cooking (cook.go) and
// cooling (cool.go): the FSIS compliance guidelines known as Appendix A and
// Appendix B. Trichinella (trichinella.go): 9 CFR 318.10. The tables as typed from
// the sources stand in testdata/published.
//
// Everything here holds a record against a published table. None of it declares
// meat fit to eat or condemns it: local code, the shop's licence and the person in
// charge decide. Outside a table the answer is a refusal, never an extrapolation.
package cure
