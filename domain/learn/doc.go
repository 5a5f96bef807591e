// Package learn lets the shop's own finished animals speak: for each number the
// models take from a table, the shop's own median, how far its animals lie apart,
// and how sure the median is.
//
//	Of       the numbers of many animals -> Own
//	Enough   how many it takes before the shop's own replaces the table
//
// All of it is by rank, so that one wrong entry among twenty moves nothing much.
// What is in use is always said beside the number, and the owner may go back to
// the table.
package learn
