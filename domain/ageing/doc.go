// Package ageing judges how far a hanging animal is: how tender, how much longer
// it may hang, and what the shop should do next.
//
//	Protocol   how a kind of animal is hung, as data with its sources
//	Facts      what is known of one animal
//	Judge      Facts and the temperature it lived through -> Verdict
//
// "Ready to cut" means hung long enough, not fit to eat. Every result is a prompt
// to look, smell, probe and decide; local codes and licensed practice have the
// last word. Numbers marked "common practice" have no published source and are
// settings of the shop.
package ageing
