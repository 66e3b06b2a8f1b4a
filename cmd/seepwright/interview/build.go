package interview

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/assembly"
)

// Way is where a person starts.
type Way string

// The starting points.
const (
	KnownJoint Way = "known-joint"  // I know which joint it is
	WetSomehow Way = "wet-unknown"  // something is wet and I don't know which joint
	LevelFalls Way = "level-falls"  // nothing is wet outside but a level falls
	OneJoint   Way = "single-joint" // one joint only
)

// Start asks where the person starts.
func (t *Talk) Start() (Way, error) {
	ways := []Option{{string(KnownJoint), "I know which joint leaks"}, {string(WetSomehow), "It is wet, and I don't know which joint"},
		{string(LevelFalls), "Nothing is wet outside, but a level falls"}, {string(OneJoint), "One joint only, no list of the unit"}}
	n, err := t.Pick(Question{ID: "start", Ask: "Where do you start?", Options: ways,
		Help: "With a list of the unit's joints seepwright can say which of them it is, and adds up the way to get there. One joint alone is quicker."})
	if err != nil {
		return "", err
	}
	return Way(ways[n].ID), nil
}

// UnknownKind is the kind of a joint that no knowledge base in use has.
const UnknownKind = "unknown"

// NotKnown says what to do with a joint of a kind that is not in the knowledge base.
func (t *Talk) NotKnown() {
	t.Tell("\nThat kind is not in this knowledge base. It is not forced into one of the others. Prove where it comes from before opening anything: at rest and cold, clean, dry and dust it; then rest, then pressure, then run. The first dark spot is the place.")
}

func label(k *rules.Joint) string {
	if k.Title != "" {
		return k.Title
	}
	return k.ID
}

// Built is what building by talk came to.
type Built struct {
	Assembly *assembly.Assembly
	Wet      map[string]bool // joints that are wet now (true), or were looked at and are dry (false)
}

// builder asks step by step; b goes back to the step before.
type builder struct {
	*Talk
	kb    *rules.Knowledge
	a     *assembly.Assembly
	other []string // names of joints of other kinds
	count map[string]int
	wet   map[string]bool
	way   Way
}

// Build builds an assembly by talk. With an error the assembly is what was told so far, or
// nil when that is not yet a unit with a joint.
func (t *Talk) Build(kb *rules.Knowledge, way Way) (Built, error) {
	b := &builder{Talk: t, kb: kb, a: &assembly.Assembly{}, count: map[string]int{}, wet: map[string]bool{}, way: way}
	steps := []func() error{b.title, b.kinds, b.howMany}
	steps = append(steps, b.others, b.names, b.twins, b.above, b.blown, b.access, b.lastWork, b.wetNow, b.tools)
	for i := 0; i < len(steps); {
		switch err := steps[i](); {
		case errors.Is(err, errBack):
			i = max(0, i-1)
		case errors.Is(err, errNone):
			b.Tell("A unit has at least one joint. Once more:")
			i = 1 // which kinds it has
		case err != nil:
			if len(b.a.Joints) == 0 {
				b.a = nil
			}
			return Built{b.a, b.wet}, err
		default:
			i++
		}
	}
	return Built{b.a, b.wet}, nil
}

// errNone says that no joint was named.
var errNone = errors.New("no joints")

func (b *builder) title() error {
	s, err := b.Words(Question{ID: "unit", Ask: "What is it? A name for the whole unit.", Note: "Such as: oil cooler of the pump house", Blank: "the unit"})
	if err != nil {
		return err
	}
	b.a.Title = s
	if s == "" {
		b.a.Title = "the unit"
	}
	return nil
}

// kinds asks which kinds of joint the unit has, so that only these are counted.
func (b *builder) kinds() error {
	order := byLooks(b.kb.Joints)
	var list []Option
	var looks []string
	for _, k := range order {
		title := label(k)
		if len(order) > fewKinds {
			title = brief(k)
		}
		list = append(list, Option{k.ID, title})
		looks = append(looks, label(k)+": "+k.LooksLike)
	}
	is, _, _, _, err := b.Many(Question{ID: "kinds", Ask: "Which kinds of joint has it, that could leak?", Note: "All numbers in one line, such as: 1 4. Those that are none of these come after.", Options: list, Columns: len(order) > fewKinds, Blank: "none of these", Back: true,
		Why: "They look like this.\n" + strings.Join(looks, "\n")})
	if err != nil {
		return err
	}
	b.count = map[string]int{}
	for _, n := range is {
		b.count[order[n].ID] = 1
	}
	return nil
}

// howMany counts the joints of each kind that the unit has.
func (b *builder) howMany() error {
	var has []*rules.Joint
	for _, k := range b.kb.Joints {
		if b.count[k.ID] > 0 {
			has = append(has, k)
		}
	}
	for i := 0; i < len(has); {
		k := has[i]
		n, err := b.Count(Question{ID: "count/" + k.ID, Ask: label(k) + ": how many has it?", Blank: "1", Back: true, Why: "It looks like this: " + k.LooksLike}, 50)
		switch {
		case errors.Is(err, errBack) && i > 0:
			i--
			continue
		case err != nil:
			return err
		}
		b.count[k.ID] = n
		i++
	}
	return nil
}

func (b *builder) others() error {
	s, err := b.Words(Question{ID: "other-kinds", Ask: "Any other joint that could leak, of another kind?", Note: "Name them, with commas: shaft seal, drain plug", Blank: "none", Back: true,
		Why: "A leak from a joint that is not on the list is easily blamed on one that is."})
	if err != nil {
		return err
	}
	b.other = split(s)
	if len(b.other) > 0 {
		b.NotKnown()
	}
	return nil
}

func split(s string) []string {
	var out []string
	for _, p := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ';' }) {
		if p = strings.Join(strings.Fields(p), " "); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// short is a kind in one word, for names that nobody has to type.
var short = map[string]string{"radial-oring": "pipe", "face-gasket": "face", "tie-rod-cap": "cap", "hose-clamp": "hose"}

func (b *builder) names() error {
	b.a.Joints = nil
	for _, k := range b.kb.Joints {
		n := b.count[k.ID]
		if n == 0 {
			continue
		}
		word := short[k.ID]
		if word == "" {
			word = k.ID
		}
		var list []string
		for i := range n {
			list = append(list, fmt.Sprintf("%s %d", word, i+1))
		}
		if n == 1 {
			list[0] = word
		}
		ask := fmt.Sprintf("Names for the %d: %s?", n, label(k))
		if n == 1 {
			ask = "A name for it: " + label(k) + "?"
		}
		for {
			s, err := b.Words(Question{ID: "names/" + k.ID, Ask: ask, Note: "With commas between, such as: upper, lower", Blank: strings.Join(list[:min(n, 2)], ", "), Back: true})
			if err != nil {
				return err
			}
			own := split(s)
			if len(own) > n {
				b.Tell("That is %d names for %d.", len(own), n)
				continue
			}
			copy(list, own)
			break
		}
		for _, title := range list {
			b.a.Joints = append(b.a.Joints, assembly.Joint{ID: b.free(title), Kind: k.ID, Title: title})
		}
	}
	for _, title := range b.other {
		b.a.Joints = append(b.a.Joints, assembly.Joint{ID: b.free(title), Kind: UnknownKind, Title: title})
	}
	if len(b.a.Joints) == 0 {
		return errNone
	}
	return nil
}

// free is an id made of a title that no joint has yet.
func (b *builder) free(title string) string {
	var s strings.Builder
	for _, r := range strings.ToLower(title) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			s.WriteRune(r)
		case s.Len() > 0 && !strings.HasSuffix(s.String(), "-"):
			s.WriteByte('-')
		}
	}
	base := strings.Trim(s.String(), "-")
	if base == "" || base[0] >= '0' && base[0] <= '9' {
		base = strings.Trim("joint-"+base, "-")
	}
	id := base
	for n := 2; slices.Contains(b.a.IDs(), id); n++ {
		id = fmt.Sprintf("%s-%d", base, n)
	}
	return id
}

// options lists joints as numbered answers; all of them when no ids are given.
func (b *builder) options(ids ...string) []Option {
	var out []Option
	for _, j := range b.a.Joints {
		if len(ids) == 0 || slices.Contains(ids, j.ID) {
			out = append(out, Option{j.ID, j.Title})
		}
	}
	return out
}

func (b *builder) twins() error {
	for _, k := range b.kb.Joints {
		if b.count[k.ID] < 2 {
			continue
		}
		var ids []string
		for _, j := range b.a.Joints {
			if j.Kind == k.ID {
				ids = append(ids, j.ID)
			}
		}
		list := b.options(ids...)
		is, _, none, kind, err := b.Many(Question{ID: "alike/" + k.ID, Ask: "Which of these are alike: same size, same seal, same service?", Options: list, Blank: "all", Back: true,
			Why: "What its twin does is a good sign: a twin that stays dry speaks against what both share."})
		if err != nil {
			return err
		}
		for i := range b.a.Joints {
			j := &b.a.Joints[i]
			n := slices.Index(ids, j.ID)
			if n < 0 {
				continue
			}
			j.Like = ""
			if kind == blank || !none && len(is) > 1 && slices.Contains(is, n) {
				j.Like = short[k.ID] + "s"
				if short[k.ID] == "" {
					j.Like = k.ID
				}
			}
		}
	}
	return nil
}

// above asks which joint drips on which.
func (b *builder) above() error {
	for i := range b.a.Joints {
		b.a.Joints[i].Above = nil
	}
	return b.pairs("above", "Which joint hangs above another, so that its drips land there?", "Higher one first: 1 4 = a drip from 1 lands on 4. One line each.", func(j *assembly.Joint) *[]string { return &j.Above })
}

func (b *builder) blown() error {
	for i := range b.a.Joints {
		b.a.Joints[i].BlownFrom = nil
	}
	return b.pairs("blown", "Does a fan or the wind blow liquid from one joint to another?", "From first: 2 3 = from 2 to 3. One line each.", func(j *assembly.Joint) *[]string { return &j.BlownFrom })
}

// pairs collects "from to" lines until Enter.
func (b *builder) pairs(id, ask, note string, field func(*assembly.Joint) *[]string) error {
	if len(b.a.Joints) < 2 {
		return nil
	}
	list := b.options()
	q := Question{ID: id, Ask: ask, Note: note, Options: list, Many: true, Blank: "no more", Back: true, Why: "Liquid runs down and is blown along: the wet joint is often not the one that leaks."}
	for {
		s, err := b.line(q)
		if err != nil {
			return err
		}
		q.Again = true
		if s == "" || s == "0" || strings.EqualFold(s, "none") {
			return nil
		}
		names := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" ,;>", r) })
		var nums []int
		bad := ""
		for _, n := range names {
			i, complaint := find(list, n)
			if complaint != "" {
				bad = complaint
			}
			nums = append(nums, i)
		}
		if bad == "" && len(nums) < 2 {
			bad = "Two numbers: the first one drips on the second."
		}
		if bad != "" {
			b.Tell("%s", bad)
			continue
		}
		from := b.a.Joints[nums[0]].ID
		for _, n := range nums[1:] {
			to := field(&b.a.Joints[n])
			switch {
			case b.reaches(b.a.Joints[n].ID, from):
				b.Tell("%s cannot be below %s: it was said the other way round.", b.a.Joints[n].Title, b.a.Joints[nums[0]].Title)
			case !slices.Contains(*to, from):
				*to = append(*to, from)
			}
		}
	}
}

// reaches reports whether liquid of joint a comes to joint c by what was told so far.
func (b *builder) reaches(a, c string) bool {
	seen := map[string]bool{}
	var visit func(id string) bool
	visit = func(id string) bool {
		if id == a {
			return true
		}
		if seen[id] {
			return false
		}
		seen[id] = true
		j, _ := b.a.Joint(id)
		return slices.ContainsFunc(append(slices.Clone(j.Above), j.BlownFrom...), visit)
	}
	return visit(c)
}
