package report

import (
	"encoding/json"
	"io"

	"seepwright/engine"
)

// JSON writes the result as it is.
func JSON(w io.Writer, r *engine.Result) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(r)
}
