package answer

import "seepwright/rules/source"

const triedForm = "write - {did: [REMEDY], retest: wet}, with joint: before it where the unit has several"

// tried reads what was done since, and how each retest came out.
func (p *reader) tried(f *File, v *piece) {
	if v.form == nothing {
		return
	}
	if v.form != list {
		p.fail(v.at, "wrong-form", triedForm, "what was tried is a list, but this is %s", v.form)
		return
	}
	for _, item := range v.items {
		if item.form != mapping {
			p.fail(item.at, "wrong-form", triedForm, "this item of the list is %s", item.form)
			continue
		}
		t := Tried{Place: item.at}
		retest := Word{}
		for i, k := range item.keys {
			x := item.items[i]
			switch k.text {
			case "joint":
				t.Joint = p.word(x, "a joint")
			case "did":
				t.Did = p.words(x)
			case "retest":
				retest = p.word(x, "wet or dry")
			default:
				p.fail(k.at, "unknown-key", source.DidYouMean(k.text, []string{"joint", "did", "retest"}), "what was tried has joint, did and retest, and no %q", k.text)
			}
		}
		switch retest.Text {
		case "wet", "dry":
			t.Wet = retest.Text == "wet"
		case "":
			p.fail(item.at, "wrong-form", "write retest: wet, or retest: dry; work without a retest tells nothing yet", "how the retest came out is not said")
			continue
		default:
			p.fail(retest.Place, "bad-answer", "write wet or dry", "a retest is not %q", retest.Text)
			continue
		}
		f.Tried = append(f.Tried, t)
	}
}

// words reads a list of words, or one.
func (p *reader) words(v *piece) []Word {
	switch v.form {
	case scalar:
		return []Word{p.word(v, "a remedy")}
	case list:
		var out []Word
		for _, item := range v.items {
			if w := p.word(item, "a remedy"); w.Text != "" {
				out = append(out, w)
			}
		}
		return out
	}
	p.fail(v.at, "wrong-form", triedForm, "the names of remedies are wanted here, but this is %s", v.form)
	return nil
}

func triedPiece(tried []Tried) *piece {
	out := &piece{form: list}
	for _, t := range tried {
		m := newMapping()
		if t.Joint.Text != "" {
			m.put("joint", text(t.Joint.Text))
		}
		var did []string
		for _, w := range t.Did {
			did = append(did, w.Text)
		}
		m.put("did", texts(did))
		m.put("retest", text(map[bool]string{true: "wet", false: "dry"}[t.Wet]))
		out.items = append(out.items, m)
	}
	return out
}
