// Package rank holds the probabilities: exact posteriors of causes, joints and answers in two-layer noisy-OR and noisy-MAX
// networks, the scaling of priors, the evidence weights and the look-ahead.
// It knows no joints by name, no questions and no minutes; the caller brings numbers and takes numbers.
//
// All results rest on one method, the open-findings sweep: causes are taken one after another, and the state is the set of
// positive findings that are open (some cause that reads them is still to come, or has come) and already explained. Every term
// is positive, so nothing cancels. Scales are powers of two, so rescaling costs no precision.
//
// Work: with n causes of d positive links each and w positive findings open at once, one pass takes about n*d*2^w additions and
// 2^w memory for the state, times n to remember the way. Negative findings and unknown findings cost their links only. The work
// is linear in the causes and in the positive findings as long as w stays; w grows with the findings that groups of causes share.
// Choosing the order of the causes costs the square of their number, in steps of a nanosecond. BenchmarkGrowth shows each.
//
// Where every cause reads every positive finding, w is their number. SolveTop then weighs sets of causes one by one and bounds the
// rest; its work grows with how many causes are likely together and is limited by a budget.
package rank
