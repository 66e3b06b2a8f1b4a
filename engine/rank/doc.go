// Package rank holds the probabilities: exact posteriors of causes, joints and answers in two-layer noisy-OR and noisy-MAX
// networks, the scaling of priors, the evidence weights and the look-ahead.
// It knows no joints by name, no questions and no minutes; the caller brings numbers and takes numbers.
//
// All results rest on one method, the open-findings sweep: causes are taken one after another, and the state is the set of
// positive findings that are open (some cause that reads them is still to come, or has come) and already explained. Every term
// is positive, so nothing cancels. Scales are powers of two, so rescaling costs no precision.
//
// Work: with n causes of d positive links each and w positive findings open at once, one pass takes about n*d*2^w additions and
// 2^w memory for the state, times n to remember the way. Negative findings and unknown findings cost their links only.
package rank
