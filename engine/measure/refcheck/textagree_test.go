package refcheck

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// unreadOring and unreadJoints are the rows of this repository that their text alone does not
// answer, with the reason.
var unreadOring = map[string]string{
	"OR-S104": "a statement in words, no figure to compute",
}

var unreadJoints = map[string]string{
	"GB-086": "a plain difference of two stresses, which no formula takes",
}

// TestEveryRowAgreesWhenComputedFromItsText is the second way to each built-in row: nothing is
// coded under its id, the text alone gives the inputs. It must meet the expected value and the
// answer of the coded way.
func TestEveryRowAgreesWhenComputedFromItsText(t *testing.T) {
	if _, own := reference(); !own {
		t.Skip("the rows of another folder run under their own test")
	}
	sizes, rings := as568(t)
	tab := tables{sizes, rings, extrusion(t)}
	byText := func(row map[string]string) (answer, error) { return ringFromText(row, tab) }
	agree(t, "oring-checks.csv", oringCases(sizes, rings, tab.gaps), unreadOring, byText)
	joints := map[string]func() (answer, error){}
	for _, group := range []map[string]func() (answer, error){boltCases(), torqueCases(), gasketCases(), coverCases(), heatCases(), hoseCases()} {
		for id, c := range group {
			joints[id] = c
		}
	}
	agree(t, "gasket-bolt-hose-checks.csv", joints, unreadJoints, jointFromText)
}

func agree(t *testing.T, name string, cases map[string]func() (answer, error), unread map[string]string, fromText func(map[string]string) (answer, error)) {
	done := 0
	for _, r := range rows(t, filepath.Join(builtIn, name)) {
		id := r["id"]
		got, err := fromText(r)
		if _, listed := unread[id]; listed {
			assert.Error(t, err, "%s is listed as unread but is read: %s", id, r["inputs"])
			continue
		}
		done++
		t.Run(id, func(t *testing.T) {
			require.NoError(t, err, "%s%s: %s", r["topic"], r["what"], r["inputs"])
			judge(t, r, got)
			want, err := cases[id]()
			require.NoError(t, err)
			require.Len(t, got.si, len(want.si))
			for i := range want.si {
				// sizes printed rounded in a row (b = 25.98 mm, a rounded factor) stand for those of the coded way
				assert.InEpsilon(t, want.si[i], got.si[i], 2e-3, "%s: coded %g, from text %g", r["inputs"], want.si[i], got.si[i])
			}
		})
	}
	t.Logf("%s: %d rows computed from their text, %d not, each listed with its reason", name, done, len(unread))
}
