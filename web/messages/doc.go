// Package messages is what the shop tells owners without a call: whom and of what,
// in which words, what waits, what failed, and whom somebody has to call.
package messages
