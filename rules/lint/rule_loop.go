package lint

import (
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
	"seepwright/rules/load"
)

// loops reports rules whose conclusions lead back to what they read. Such rules would
// support themselves, and withdrawing an answer would not withdraw them.
func loops(c *checker) {
	said := map[string]bool{}
	kinds := c.kinds
	if len(kinds) == 0 {
		kinds = []string{""}
	}
	for _, kind := range kinds {
		g := &ruleGraph{to: map[string][]string{}, by: map[string]*rules.Rule{}}
		for _, d := range c.k.Rules {
			if rules.Applies(d.For, kind) {
				g.add(c, d)
			}
		}
		for _, ring := range g.rings() {
			d := g.by[ring[0]+" -> "+ring[1%len(ring)]]
			path := strings.Join(append(ring, ring[0]), " -> ")
			if d != nil && !said[path] {
				said[path] = true
				c.report(c.at(d.Head, "then", ""), "rule-loop", "these facts rest on one another: "+path, "take one step out, or conclude a fact that no rule before it reads")
			}
		}
	}
}

// ruleGraph leads from each finding to the findings concluded from it: "fact is answer"
// where answers can be told apart, the bare fact for sizes and several answers. So a rule
// and its contrapositive (no mark, no old skin; old skin, a mark) are no ring.
type ruleGraph struct {
	to map[string][]string
	by map[string]*rules.Rule // "from to" -> the first rule that makes the step
}

func (g *ruleGraph) add(c *checker, d *rules.Rule) {
	when := c.supports(d.When.Cond)
	step := func(from, to string) {
		if key := from + " -> " + to; g.by[key] == nil {
			g.by[key] = d
			g.to[from] = append(g.to[from], to)
		}
	}
	for _, a := range d.Then {
		if a.Conclude != nil {
			for _, from := range when {
				step(from, c.finding(a.Conclude.Fact, a.Conclude.Value))
			}
		}
		if a.Compute == nil {
			continue
		}
		for _, into := range sortedKeys(a.Compute.Into) {
			for _, to := range c.findings(a.Compute.Into[into]) {
				for _, from := range when {
					step(from, to)
				}
				for _, in := range sortedKeys(a.Compute.From) {
					if id := a.Compute.From[in]; !load.IsQuantity(id) {
						for _, from := range c.findings(id) {
							step(from, to)
						}
					}
				}
			}
		}
	}
	for _, list := range g.to {
		slices.Sort(list)
	}
}

// finding is the node of a fact with a value.
func (c *checker) finding(id string, v fact.Value) string {
	if f := c.fact(id); f == nil || (f.Answer != fact.YesNo && f.Answer != fact.Choice) {
		return id
	}
	return id + " is " + v.String()
}

// findings are all nodes of a fact.
func (c *checker) findings(id string) []string {
	f := c.fact(id)
	switch {
	case f != nil && f.Answer == fact.YesNo:
		return []string{id + " is yes", id + " is no"}
	case f != nil && f.Answer == fact.Choice:
		var out []string
		for _, o := range f.Options {
			out = append(out, id+" is "+o.ID)
		}
		return out
	}
	return []string{id}
}

// supports lists the findings with which a condition can be true.
func (c *checker) supports(x *cond.Cond) []string {
	if known, ok := c.holdsIf[x]; ok {
		return known
	}
	list, ok := c.worlds(anything, x)
	set := map[string]bool{}
	for _, w := range list {
		if x.Eval(w).Truth == fact.True {
			for id, v := range w {
				set[c.finding(id, v)] = true
			}
		}
	}
	if !ok {
		for _, id := range x.Facts() {
			for _, n := range c.findings(id) {
				set[n] = true
			}
		}
	}
	for _, id := range x.Facts() { // options that are not named are one world
		if f := c.fact(id); f != nil && f.Answer != fact.YesNo && f.Answer != fact.Choice {
			set[id] = true
		}
	}
	c.holdsIf[x] = sortedKeys(set)
	return c.holdsIf[x]
}

// rings gives one ring of facts for each knot of the graph (Tarjan's strong components).
func (g *ruleGraph) rings() [][]string {
	index, low, on := map[string]int{}, map[string]int{}, map[string]bool{}
	var stack []string
	var out [][]string
	var visit func(v string)
	visit = func(v string) {
		index[v] = len(index) + 1
		low[v] = index[v]
		stack, on[v] = append(stack, v), true
		for _, w := range g.to[v] {
			if index[w] == 0 {
				visit(w)
				low[v] = min(low[v], low[w])
			} else if on[w] {
				low[v] = min(low[v], index[w])
			}
		}
		if low[v] != index[v] {
			return
		}
		var knot []string
		for {
			w := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			on[w] = false
			knot = append(knot, w)
			if w == v {
				break
			}
		}
		if len(knot) > 1 || slices.Contains(g.to[v], v) {
			slices.Sort(knot)
			out = append(out, g.ring(knot))
		}
	}
	for _, v := range sortedKeys(g.to) {
		if index[v] == 0 {
			visit(v)
		}
	}
	return out
}

// ring is the shortest way from the first fact of a knot back to itself.
func (g *ruleGraph) ring(knot []string) []string {
	start := knot[0]
	from := map[string]string{}
	queue := []string{start}
	for len(queue) > 0 {
		v := queue[0]
		queue = queue[1:]
		for _, w := range g.to[v] {
			if w == start {
				path := []string{v}
				for v != start {
					v = from[v]
					path = append(path, v)
				}
				slices.Reverse(path)
				return path
			}
			if _, seen := from[w]; !seen && slices.Contains(knot, w) {
				from[w] = v
				queue = append(queue, w)
			}
		}
	}
	return knot
}
