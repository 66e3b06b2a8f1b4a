// Package optimum finds the policy of checks, openings, repairs and retests of least expected
// minutes: exactly where the states can be counted, by look-ahead with stated bounds where not.
// It knows no leaks, joints or rules: faults, clusters, checks and repairs come in as numbers.
package optimum
