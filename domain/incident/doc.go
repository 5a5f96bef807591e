// Package incident says what a warm room may have done to each animal in it: when
// the cooling can have failed (failure.go), the best and the worst that fits the
// readings (outcome.go), and what the published rules make of it side by side
// (rule.go). It sets animals to stop and asks for a person; it never clears or
// condemns meat.
package incident
