// Package batch is a mix made together: sausage, sticks, jerky, a cured ham.
//
// It says whose meat may go into it (join.go), in which order batches may follow
// each other on a machine and what a positive test touched there (machine.go),
// what a batch becomes (product.go), and how it is shared out (share.go).
//
// Sources: trade.md 2.4, 2.5, 6.7 and Annex C 13 and 14; readiness.md section 13.
// Most of it is common practice without a source, and says so.
package batch
