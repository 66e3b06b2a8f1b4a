package rank

const relaxedWidth = 14

func solveBounded(c *compiled, w int) (Posterior, error) { return Posterior{}, ErrTooWide }
