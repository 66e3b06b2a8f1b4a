package refcheck

import (
	"fmt"
	"math"
	"regexp"
	"strings"
)

// item is one value of a row: "groove_dia=61.6mm", "hollow 0.30 mm", "12 mm wide", "25(0/-0.1)",
// "120/100 mm", or a list of readings.
type item struct {
	label  string    // what is written before it, "_" as space
	after  string    // what is written behind it, up to the next value or stop
	nums   []float64 // one number, the ends of a pair, or a list, as printed
	lo, hi float64   // limits of the first number with its tolerance, or of the range
	spread bool      // lo and hi are a tolerance or a range
	unit   measureUnit
	has    bool // a unit is written
	aside  bool // in brackets, in the title of the row, or a second way of saying the value before
}

// thread is a thread by its name: "M12x1.25" or "3/8-16". A pitch of 0 is not named.
type thread struct{ d, pitch, perInch float64 } // m, m, 1/in

// reader walks over the text of a row.
type reader struct {
	text    string
	at      int
	label   strings.Builder
	depth   int // of brackets
	items   []item
	threads []thread
	value   bool // the last thing read was a value
	trail   bool // words still belong to the last value
	bad     string
	title   bool
}

const plain = `(?:\d+(?:[.,]\d+)?|\.\d+)(?:[eE][-+]?\d+|\s?[x*×]\s?10\^?-?\d+)?`

var (
	metricThread = regexp.MustCompile(`^M(\d+(?:\.\d+)?)(?:\s?[x×-]\s?(\d+(?:\.\d+)?))?\b`)
	inchThread   = regexp.MustCompile(`^((?:\d+ )?\d+(?:/\d+)?)-(\d+(?:\.\d+)?)(\s*(?:UN|NP|SAE|BS|grade|thread|:|;|,|\)|$))`)
	numberHead   = regexp.MustCompile(`^[-+]?` + plain)
	mixedHead    = regexp.MustCompile(`^(\d+)\s+(\d+)/(2|4|8|16|32|64)\b`)
	fractionHead = regexp.MustCompile(`^(\d+)/(2|4|8|16|32|64)\b`)
	plusMinus    = regexp.MustCompile(`^\s*(?:\+/-|±|\+-)\s*(` + plain + `)`)
	limitsHead   = regexp.MustCompile(`^\s*\(?\s*([-+]?\s?` + plain + `)\s*[/,;]\s*([-+]?\s?` + plain + `)(?:\s*\))?`)
	rangeHead    = regexp.MustCompile(`^\s*(?:\.{2,3}|…|–|to\b)\s*([-+]?` + plain + `)`)
	hyphenHead   = regexp.MustCompile(`^-(` + plain + `)`)
	pairHead     = regexp.MustCompile(`^\s*(?:/|x|×|and)\s*(` + plain + `)`)
	listHead     = regexp.MustCompile(`^[ ,]\s*(` + plain + `)`)
)

// readText reads the values of a text. What it cannot make sense of is named in bad.
func readText(text string, title bool) *reader {
	text = strings.NewReplacer("_", " ", "−", "-", "\t", " ", "\n", ";", " ", " ", "+/−", "+/-").Replace(text)
	r := &reader{text: text, title: title}
	for r.at < len(r.text) {
		r.step()
	}
	return r
}

func (r *reader) rest() string { return r.text[r.at:] }

func (r *reader) stop() {
	r.label.Reset()
	r.value, r.trail = false, false
}

func (r *reader) step() {
	c := r.text[r.at]
	switch {
	case c == ':' && r.namesNumber(): // "cs: 3.53 mm" is "cs = 3.53 mm"
		r.label.WriteByte('=')
		r.at++
	case c == ';' || c == ',' || c == ':':
		r.stop()
		r.at++
	case c == '(':
		r.depth++
		r.stop()
		r.at++
	case c == ')':
		r.depth = max(0, r.depth-1)
		r.stop()
		r.at++
	case isLetter(c):
		r.word()
	case isDigit(c), c == '.' && r.digitAt(1), (c == '-' || c == '+') && (r.digitAt(1) || r.pointAt(1)):
		r.number()
	default:
		if !r.value || c == '=' {
			r.label.WriteByte(c)
		}
		r.at++
	}
}

func (r *reader) digitAt(k int) bool { return r.at+k < len(r.text) && isDigit(r.text[r.at+k]) }
func (r *reader) pointAt(k int) bool {
	return r.at+k+1 < len(r.text) && r.text[r.at+k] == '.' && isDigit(r.text[r.at+k+1])
}

// namesNumber says that a colon stands between a name and its number.
func (r *reader) namesNumber() bool {
	after := strings.TrimLeft(r.text[r.at+1:], " ")
	return !r.trail && strings.TrimSpace(r.label.String()) != "" && numberHead.MatchString(after)
}

// word reads "groove", "Rp0.2", "A2-70" or a metric thread.
func (r *reader) word() {
	if m := metricThread.FindStringSubmatch(r.rest()); m != nil && !r.inWord() {
		t := thread{d: float(m[1]) * 1e-3}
		if p := float(m[2]); p > 0 && p < 6.5 && p < float(m[1])/2 {
			t.pitch = p * 1e-3
		}
		r.threads = append(r.threads, t)
		r.at += len(m[0])
		r.value, r.label = true, strings.Builder{}
		return
	}
	end := r.at + 1
	for end < len(r.text) {
		c := r.text[end]
		next := byte(0)
		if end+1 < len(r.text) {
			next = r.text[end+1]
		}
		if isLetter(c) || isDigit(c) || (c == '.' || c == '-') && isDigit(next) && !(c == '-' && strings.HasSuffix(r.text[r.at:end], "=")) {
			end++
			continue
		}
		break
	}
	w := r.text[r.at:end]
	if r.trail && len(r.items) > 0 {
		last := &r.items[len(r.items)-1]
		last.after = strings.TrimSpace(last.after + " " + w)
	}
	r.label.WriteString(w)
	r.label.WriteByte(' ')
	r.value, r.at = false, end
}

func (r *reader) inWord() bool { return r.at > 0 && isLetter(r.text[r.at-1]) }

// skipFormula leaves out the rest of a statement that is a formula, not a value.
func (r *reader) skipFormula() {
	if k := strings.IndexAny(r.rest(), ";,("); k >= 0 {
		r.at += k
	} else {
		r.at = len(r.text)
	}
	r.stop()
}

// fail says once what cannot be read.
func (r *reader) fail(format string, args ...any) {
	if r.bad == "" {
		r.bad = fmt.Sprintf(format, args...)
	}
}

// number reads a value with its tolerance, partner and unit.
func (r *reader) number() {
	if r.partOfFormula() {
		r.at += len(numberHead.FindString(r.rest()))
		return
	}
	if m := inchThread.FindStringSubmatch(r.rest()); m != nil && (strings.Contains(m[1], "/") || strings.ContainsAny(m[3], "UNSBgt:")) && float(m[2]) >= 4 && float(m[2]) <= 80 {
		d, _ := fraction(m[1])
		r.threads = append(r.threads, thread{d: d * 0.0254, perInch: float(m[2]), pitch: 0.0254 / float(m[2])})
		r.at += len(m[0]) - len(m[3])
		r.stop()
		return
	}
	label := strings.TrimSpace(r.label.String())
	it := item{label: label, aside: r.depth > 0 || r.title || strings.HasPrefix(label, "=") && r.value}
	x, n, ok := r.readNumber(r.rest())
	if !ok {
		r.at += max(1, n)
		return
	}
	r.at += n
	it.nums, it.lo, it.hi = []float64{x}, x, x
	if r.afterIsFormula() {
		if r.title {
			r.stop()
			return
		}
		r.skipFormula()
		return
	}
	r.tolerance(&it)
	if u, n := unitAt(r.rest()); n > 0 {
		it.unit, it.has = u, true
		r.at += n
		if !it.spread {
			r.tolerance(&it) // "25 mm (0/-0.1)", "1.678 in to 1.680 in"
			r.partnerUnit(&it)
		}
	}
	it.label, _, _ = strings.Cut(strings.Trim(it.label, " =<>~≈|"), "=")
	it.label = strings.Join(strings.Fields(strings.TrimRight(it.label, " <>")), " ")
	if math.IsInf(it.lo, 0) || math.IsInf(it.hi, 0) || math.IsNaN(it.lo) {
		r.fail("%q is not a usable number", label)
	}
	r.items = append(r.items, it)
	r.stop()
	r.value, r.trail = true, true
}

// partnerUnit reads a unit that the second of two numbers has of its own.
func (r *reader) partnerUnit(it *item) {
	if !it.spread && len(it.nums) < 2 {
		return
	}
	u, n := unitAt(r.rest())
	if n > 0 {
		r.at += n
		if u != it.unit {
			r.fail("two numbers with different units in one value after %q", it.label)
		}
	}
}

// partOfFormula says that an operator binds this number to a symbol before it: "pitch/2".
func (r *reader) partOfFormula() bool {
	before := strings.TrimRight(r.label.String(), " ")
	return !r.value && before != "" && strings.ContainsAny(before[len(before)-1:], "*/^+") && strings.ContainsAny(before, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
}

// afterIsFormula says that the number just read is a factor of a formula: "2.4*C*d", "2d", "0.59X".
func (r *reader) afterIsFormula() bool {
	rest := r.rest()
	if rest == "" {
		return false
	}
	if rest[0] == '*' || rest[0] == '^' {
		return true
	}
	if isLetter(rest[0]) {
		_, n := unitAt(rest)
		return n == 0 && !strings.HasPrefix(rest, "x ") && !strings.HasPrefix(rest, "x M") && !strings.HasPrefix(rest, "xM") && !(rest[0] == 'x' && len(rest) > 1 && isDigit(rest[1])) && !strings.HasPrefix(rest, "to ")
	}
	return false
}
