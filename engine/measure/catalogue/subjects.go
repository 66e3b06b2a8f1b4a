package catalogue

// subjects are the parts of the list, one function per subject.
var subjects = []func() []Calculation{
	orings,
	ringRods,
	ringSeats,
	ringGaps,
	ringHeat,
	ringContact,
	ringLimits,
	ringGlands,
	bores,
	rounds,
	lobes,
	faces,
	bolts,
	gaskets,
	tieRods,
	hoses,
	clamps,
	drips,
	leakLimits,
	leakPaths,
	tests,
	fitThreads,
	fitTubes,
	fitSeals,
}
