// Package refcheck holds the tests that run the measure packages against the reference sets in
// testdata/reference, or in the folder that the environment variable SEEPWRIGHT_REFERENCE names.
// It holds no calculation: expected values and tolerances are read from the files.
package refcheck
