package load

import (
	"fmt"
	"strings"
)

// Reference is the list of all documents and their fields in Markdown, made from the same
// table that reads them.
func Reference() string {
	var b strings.Builder
	for _, k := range Kinds() {
		fmt.Fprintf(&b, "### %s\n\n%s", k.Name, k.Help)
		if k.Alone {
			fmt.Fprintf(&b, " One document a file; the file is called like it.")
		}
		b.WriteString("\n\n| field | holds | |\n| --- | --- | --- |\n")
		fmt.Fprintf(&b, "| `%s` **needed** | name | First in the document. |\n", k.Name)
		writeFields(&b, k.Fields, "")
		b.WriteString("\n")
	}
	return b.String()
}

func writeFields(b *strings.Builder, fields []Field, under string) {
	for _, f := range fields {
		need := ""
		if f.Must {
			need = " **needed**"
		}
		holds := f.Holds
		if len(f.Choices) > 0 {
			holds = strings.Join(f.Choices, ", ")
			if strings.HasPrefix(f.Holds, "list") {
				holds = "list of: " + holds
			}
		}
		fmt.Fprintf(b, "| `%s`%s | %s | %s |\n", under+f.Name, need, cell(holds), cell(f.Help))
		if len(f.Fields) > 0 {
			writeFields(b, f.Fields, under+f.Name+" / ")
		}
	}
}

func cell(s string) string { return strings.ReplaceAll(s, "|", `\|`) }
