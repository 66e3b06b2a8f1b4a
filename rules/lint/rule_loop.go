package lint

import (
	"slices"
	"strings"

	"seepwright/rules"
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
				g.add(d)
			}
		}
		for _, ring := range g.rings() {
			d := g.by[ring[0]+" "+ring[1%len(ring)]]
			path := strings.Join(append(ring, ring[0]), " -> ")
			if d != nil && !said[path] {
				said[path] = true
				c.report(c.at(d.Head, "then", ""), "rule-loop", "these facts rest on one another: "+path, "take one step out, or conclude a fact that no rule before it reads")
			}
		}
	}
}

// ruleGraph leads from each fact to the facts concluded from it.
type ruleGraph struct {
	to map[string][]string
	by map[string]*rules.Rule // "from to" -> the first rule that makes the step
}

func (g *ruleGraph) add(d *rules.Rule) {
	when := d.When.Cond.Facts()
	step := func(from, to string) {
		if key := from + " " + to; g.by[key] == nil {
			g.by[key] = d
			g.to[from] = append(g.to[from], to)
		}
	}
	for _, a := range d.Then {
		if a.Conclude != nil {
			for _, id := range when {
				step(id, a.Conclude.Fact)
			}
		}
		if a.Compute == nil {
			continue
		}
		for _, out := range a.Compute.Into {
			for _, id := range when {
				step(id, out)
			}
			for _, id := range a.Compute.From {
				if !load.IsQuantity(id) {
					step(id, out)
				}
			}
		}
	}
	for _, list := range g.to {
		slices.Sort(list)
	}
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
