// Package optimum finds the policy of checks, openings, repairs and retests of least expected
// minutes: exactly where the states can be counted, by look-ahead with stated bounds where not.
// It knows no leaks, joints or rules: faults, clusters, checks and repairs come in as numbers.
//
// # Model
//
// Exactly one fault is present, or several independent ones given that there is at least one,
// or one of the sets that Possible lists with their chances. Clusters are stages of access,
// each after those that it needs; those that must be closed are closed for every retest. A
// check has two answers or more, by the faults that were there at the start; a repair cures
// what it fixes with a chance of success, and a retest tells only whether all is cured. The
// job ends dry or by the last resort. A closing may make a leak (Cluster.Pass), which another
// opening mends: Advise follows the patterns of what may be spoilt, with their chances.
// SolveChanging says the same exactly, with faults that work makes, and tests on the bench
// before a part goes back; there a check answers by what is present when it is made.
//
// # Exact
//
// A state is (clusters open, attempts made, answers) between two retests: a belief follows
// from it, so beliefs are never compared as floats. Values are kept times the chance of their
// state, which makes Bayes' rule a product. From a state lead every check, every batch of
// useful repairs with its retest, and the last resort. With C checks of two answers, R repairs
// of one try and K distinct sets of open clusters there are at most 3^C 2^R K states and
// 3^C 3^R K steps; a step whose own minutes exceed the best so far is cut. SolveChanging remembers histories, of
// which there are as many as orders of work.
//
// # Large
//
// Base policy: the batch, or the single repair, of the largest chance of dry per minute (the
// cheaper of both courses), clusters cached until something they rest on changes: about
// repairs x log repairs + rounds x clusters. On it every check and the best batches are looked
// at one step ahead, the best four of them two. Where at most five faults and two telling
// checks are left of a single-fault model, the optimum takes over. More than twelve
// independent faults are drawn, four sets by first fault; figures are then estimates and say so.
//
// Bounds: below, perfect information, and the optimum with all checks answered for nothing;
// above, the cost of the policy that the look-ahead stands for.
//
// Sources: the p/c rule and the one-step value of an observation are those of
// "Decision-theoretic troubleshooting", CACM 38(3), 1995; batches before one retest are the
// case of "When to Test? Troubleshooting with Postponed System Test", 2010.
package optimum
