// Package rail knows the cooler's rails: how much hangs on each, how long until
// the room is full, where to draw each tag, and where the next carcass goes.
//
// A place is a hook; positions count from the door. Room is counted in deer
// places: an ordinary skinned deer takes one. Sources: trade.md 5.1, 5.2 and
// 5.4 (common practice; the weights and rules are a shop's own to change).
package rail
