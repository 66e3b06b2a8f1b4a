package sheet

import (
	"embed"
	"html/template"
	"io"
	"strings"

	"seepwright/cmd/seepwright/report"
)

//go:embed sheet.html sheet.css
var files embed.FS

// form is the template of the HTML form; what comes from users or knowledge is escaped by it.
var form = template.Must(template.New("sheet.html").Funcs(template.FuncMap{
	"css":     func() (template.CSS, error) { data, err := files.ReadFile("sheet.css"); return template.CSS(data), err },
	"drawing": func(p *Picture) template.HTML { s, _ := drawing(p.SVG); return s },
	"asks":    asks,
	"bind":    report.Bind,
	"loud":    func(s string) bool { return strings.HasPrefix(s, "NOT") || strings.HasPrefix(s, "TOO") },
}).ParseFS(files, "sheet.html"))

// HTML writes the sheet as one file, which fetches nothing and runs nothing.
func HTML(w io.Writer, s Sheet) error { return form.Execute(w, s) }
