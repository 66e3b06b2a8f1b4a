package interview

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Talk is the manner of asking that all questions share: keys, numbers, asking again.
type Talk struct {
	Asker
	Width int
}

// Tell says a paragraph, broken to the width of the screen.
func (t *Talk) Tell(format string, args ...any) {
	t.Say(wrap(fmt.Sprintf(format, args...), t.Width, "", ""))
}

// line asks until something other than a key for help was typed.
func (t *Talk) line(q Question) (string, error) {
	for {
		s, err := t.Ask(q)
		if err != nil {
			return "", err
		}
		s = strings.TrimSpace(s)
		key := strings.ToLower(s)
		if key == "m" && q.Mind != nil {
			text, err := q.Mind()
			if err != nil {
				return "", err
			}
			t.Say(text)
			q.Again = true
			continue
		}
		switch key {
		case "q":
			return "", ErrQuit
		case "b":
			if q.Back {
				return "", errBack
			}
			t.Tell("This is the first question.")
		case "w":
			if q.Why == "" {
				t.Tell("There is nothing more to say to this one.")
			} else {
				t.Tell("%s", q.Why)
			}
		case "h":
			t.Tell("%s", strings.TrimSpace(q.help()))
		case "":
			if q.Blank != "" {
				return "", nil
			}
			t.Tell("Please answer, or h for help.")
		default:
			return s, nil
		}
		q.Again = true
	}
}

// Reply kinds besides a plain answer.
const (
	unsure  = -1
	noReach = -2
	blank   = -3
)

// state reads ? and x.
func state(q Question, s string) (int, bool) {
	switch {
	case q.Unsure && s == "?":
		return unsure, true
	case q.Unsure && strings.EqualFold(s, "x"):
		return noReach, true
	}
	return 0, false
}

// Pick asks for one option and gives its index, or unsure, noReach, blank.
func (t *Talk) Pick(q Question) (int, error) {
	for {
		s, err := t.line(q)
		if err != nil {
			return 0, err
		}
		if s == "" {
			return blank, nil
		}
		if n, ok := state(q, s); ok {
			return n, nil
		}
		n, complaint := find(q.Options, s)
		if complaint == "" {
			return n, nil
		}
		t.Tell("%s", complaint)
		q.Again = true
	}
}

// YesNo asks for yes (1) or no (0), or gives unsure, noReach, blank.
func (t *Talk) YesNo(q Question) (int, error) {
	q.YesNo = true
	for {
		s, err := t.line(q)
		if err != nil {
			return 0, err
		}
		if s == "" {
			return blank, nil
		}
		if n, ok := state(q, s); ok {
			return n, nil
		}
		if n, ok := yesNo(s); ok {
			return n, nil
		}
		t.Tell("y for yes, n for no.")
		q.Again = true
	}
}

func yesNo(s string) (int, bool) {
	switch strings.ToLower(s) {
	case "y", "yes", "1":
		return 1, true
	case "n", "no", "2", "0":
		return 0, true
	}
	return 0, false
}

// Words asks for free text; Enter alone gives "" where that is allowed.
func (t *Talk) Words(q Question) (string, error) { return t.line(q) }

// Count asks for a whole number from 0 to most.
func (t *Talk) Count(q Question, most int) (int, error) {
	for {
		s, err := t.line(q)
		if err != nil {
			return 0, err
		}
		if s == "" {
			return 0, nil
		}
		n, e := strconv.Atoi(s)
		if e == nil && n >= 0 && n <= most {
			return n, nil
		}
		t.Tell("A whole number from 0 to %d, please.", most)
		q.Again = true
	}
}

// Many asks for any of the options: those named as seen, those named as not so (-2), and
// whether "none" was said. The int is 0, or unsure, noReach, blank.
func (t *Talk) Many(q Question) (is, not []int, none bool, kind int, err error) {
	q.Many = true
	for {
		s, err := t.line(q)
		if err != nil {
			return nil, nil, false, 0, err
		}
		if s == "" {
			return nil, nil, false, blank, nil
		}
		if n, ok := state(q, s); ok {
			return nil, nil, false, n, nil
		}
		is, not, none, complaint := several(q.Options, s)
		if complaint == "" {
			return is, not, none, 0, nil
		}
		t.Tell("%s", complaint)
		q.Again = true
	}
}

// find reads one option: its number, its id, its title, or the first letters of either.
func find(list []Option, s string) (int, string) {
	if n, err := strconv.Atoi(s); err == nil {
		if n >= 1 && n <= len(list) {
			return n - 1, ""
		}
		return 0, fmt.Sprintf("There is no %d here: 1 to %d.", n, len(list))
	}
	want := fold(s)
	var starts []int
	for i, o := range list {
		if fold(o.ID) == want || fold(o.Title) == want {
			return i, ""
		}
		if want != "" && (strings.HasPrefix(fold(o.ID), want) || strings.HasPrefix(fold(o.Title), want)) {
			starts = append(starts, i)
		}
	}
	switch len(starts) {
	case 1:
		return starts[0], ""
	case 0:
		return 0, fmt.Sprintf("%q is none of these. Type a number from 1 to %d, or h for help.", clip(s), len(list))
	}
	return 0, fmt.Sprintf("%q could be %s. Type the number.", clip(s), numbers(starts))
}

func numbers(list []int) string {
	var out []string
	for _, i := range list {
		out = append(out, strconv.Itoa(i+1))
	}
	return strings.Join(out, " or ")
}

// several reads "1 3", "1,3", "1 -2", "0", "none", "hot, cold".
func several(list []Option, s string) (is, not []int, none bool, complaint string) {
	switch fold(s) {
	case "0", "none", "no", "nothing", "none-of-them", "none-of-these":
		return nil, nil, true, ""
	}
	parts := strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ';' })
	if strings.Trim(s, "0123456789,; -") == "" {
		parts = strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ';' || r == ' ' })
	} else if n, bad := find(list, s); bad == "" {
		return []int{n}, nil, false, ""
	}
	for _, p := range parts {
		p = strings.TrimSpace(p)
		if p == "" {
			continue
		}
		into := &is
		if rest, ok := strings.CutPrefix(p, "-"); ok {
			p, into = rest, &not
		} else if rest, ok := strings.CutPrefix(strings.ToLower(p), "not "); ok {
			p, into = rest, &not
		}
		n, bad := find(list, strings.TrimSpace(p))
		if bad != "" {
			return nil, nil, false, bad
		}
		if !slices.Contains(*into, n) {
			*into = append(*into, n)
		}
	}
	for _, n := range is {
		if slices.Contains(not, n) {
			return nil, nil, false, fmt.Sprintf("%d is named both as seen and as not so.", n+1)
		}
	}
	if len(is)+len(not) == 0 {
		return nil, nil, false, "Type the numbers, or 0 for none."
	}
	return is, not, false, ""
}

func fold(s string) string {
	s = strings.NewReplacer("'", "", "_", " ", "-", " ").Replace(strings.ToLower(s))
	return strings.Join(strings.Fields(s), "-")
}

// clip keeps a quoted text short.
func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}
