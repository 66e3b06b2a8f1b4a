package ringsize_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/ringsize"
	"seepwright/rules/unit"
)

const (
	mm   = unit.Millimetre
	inch = unit.Inch
	pct  = unit.Percent
)

// metricSections steps as the table ring-sizes-metric does.
func metricSections() []ringsize.Grid {
	var out []ringsize.Grid
	for _, cord := range []unit.Length{2 * mm, 2.5 * mm, 3 * mm, 3.5 * mm, 4 * mm, 5 * mm} {
		out = append(out, ringsize.Grid{Cord: cord, From: 3 * mm, To: 59.5 * mm, Step: 0.5 * mm}, ringsize.Grid{Cord: cord, From: 60 * mm, To: 199 * mm, Step: 1 * mm}, ringsize.Grid{Cord: cord, From: 200 * mm, To: 400 * mm, Step: 5 * mm})
	}
	return out
}

// classB are the section tolerances of ISO 3601-1 class B for metric sizes, annex rule.
var classB = []ringsize.Band{{From: 0, To: 2.25 * mm, Tol: 0.08 * mm}, {From: 2.26 * mm, To: 3.15 * mm, Tol: 0.09 * mm}, {From: 3.16 * mm, To: 4.5 * mm, Tol: 0.10 * mm}, {From: 4.51 * mm, To: 6.3 * mm, Tol: 0.13 * mm}, {From: 6.31 * mm, To: 8.4 * mm, Tol: 0.15 * mm}}

// as568 reads all AS568 sizes in inches from the reference set.
func as568(t testing.TB) []ringsize.Ring {
	t.Helper()
	f, err := os.Open("../../../testdata/reference/oring-as568.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	at := map[string]int{}
	for i, h := range rows[0] {
		at[h] = i
	}
	var out []ringsize.Ring
	for _, r := range rows[1:] {
		num := func(head string) unit.Length {
			x, err := strconv.ParseFloat(r[at[head]], 64)
			require.NoError(t, err)
			return unit.Length(x) * inch
		}
		standing := "confirmed"
		if r[at["conf_id"]] == "C" {
			standing = "from memory"
		}
		out = append(out, ringsize.Ring{Table: "AS568", Name: "-" + r[at["dash"]], ID: num("id_in"), IDTol: num("id_tol_in"), Cord: num("cs_in"), CordTol: num("cs_tol_in"), Listed: true, Standing: standing})
	}
	require.Len(t, out, 369)
	return out
}

func all(t testing.TB) ringsize.Sizes {
	rings := append(as568(t),
		ringsize.Ring{Table: "JIS B 2401", Name: "P25", ID: 24.7 * mm, IDTol: 0.25 * mm, Cord: 3.5 * mm, CordTol: 0.1 * mm, Listed: true, Standing: "from memory"},
		ringsize.Ring{Table: "JIS B 2401", Name: "G25", ID: 24.4 * mm, IDTol: 0.25 * mm, Cord: 3.1 * mm, CordTol: 0.1 * mm, Listed: true, Standing: "confirmed"},
		ringsize.Ring{Table: "DIN 3771", Name: "section 3.55", Cord: 3.55 * mm, CordTol: 0.1 * mm, Listed: true, Standing: "confirmed"},
		ringsize.Ring{Table: "DIN 3771", Name: "section 5.3", Cord: 5.3 * mm, CordTol: 0.13 * mm, Listed: true, Standing: "confirmed"},
	)
	return ringsize.Sizes{Rings: rings, Metric: metricSections(), ClassB: classB}
}

func readings(id, cord, u unit.Length) []ringsize.Reading {
	return []ringsize.Reading{{Of: ringsize.Inside, At: id, U: u}, {Of: ringsize.Section, At: cord, U: u}}
}
