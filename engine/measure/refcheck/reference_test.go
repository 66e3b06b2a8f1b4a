package refcheck

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// builtIn is where the reference sets of this repository lie.
const builtIn = "../../../testdata/reference"

// reference gives the folder to check against and whether it is the repository's own.
func reference() (string, bool) {
	if dir := os.Getenv("SEEPWRIGHT_REFERENCE"); dir != "" {
		return dir, false
	}
	return builtIn, true
}

// open gives the path of a reference file. In another folder a missing file skips the test.
func open(t *testing.T, name string) string {
	t.Helper()
	dir, own := reference()
	path := filepath.Join(dir, name)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) && !own {
		t.Skipf("%s is not in the folder that SEEPWRIGHT_REFERENCE names", name)
	} else {
		require.NoError(t, err)
	}
	return path
}

// rows reads a CSV file into one map per row.
func rows(t *testing.T, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, k := range all[0] {
			m[k] = r[i]
		}
		out = append(out, m)
	}
	return out
}

func readJSON(t *testing.T, path string, into any) {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, into))
}

// close to the README's rule for form sets.
func formClose(got, want, scale float64) bool {
	return math.Abs(got-want) <= 1e-9*math.Abs(want)+1e-12*scale
}
