package lint

import (
	"seepwright/rules"
	"seepwright/rules/answer"
)

// caseAnswers reads the answers of solved cases and of the tests of rules against their facts.
func caseAnswers(c *checker) {
	for _, d := range c.k.Cases {
		c.answers(d.Given)
		c.answers(d.Expect)
		for _, id := range sortedKeys(d.Joints) {
			c.answers(d.Joints[id].Given)
		}
	}
	for _, d := range c.k.RuleTests {
		for _, t := range d.Cases {
			c.answers(t.Given)
		}
	}
}

func (c *checker) answers(given map[string]rules.AnswerText) {
	for _, id := range sortedKeys(given) {
		f := c.fact(id)
		if f == nil {
			continue // reported with the unknown names
		}
		_, found := answer.Read(f, given[id], c.k.Instruments)
		for _, x := range found {
			x.Warning = warns(x.Code)
			c.out = append(c.out, x)
		}
	}
}
