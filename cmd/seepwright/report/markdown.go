package report

import (
	"fmt"
	"io"
	"strings"
)

var escaper = strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;", "[", `\[`, "|", `\|`, "#", `\#`)

// Markdown writes the same blocks as Markdown; what came from users or knowledge files is
// escaped.
func Markdown(w io.Writer, blocks []Block) error {
	var b strings.Builder
	inList, under := false, false
	for _, x := range blocks {
		t := escaper.Replace(strings.Join(strings.Fields(x.Text), " "))
		item := x.Kind == Item || x.Kind == Box || x.Kind == Numbered || (x.Kind == Note || x.Kind == Sub) && inList
		if inList && !item {
			b.WriteString("\n")
		}
		switch x.Kind {
		case Verdict:
			fmt.Fprintf(&b, "# %s\n\n", t)
		case Heading:
			fmt.Fprintf(&b, "## %s\n\n", t)
		case Para:
			fmt.Fprintf(&b, "%s\n\n", t)
		case Item:
			fmt.Fprintf(&b, "- %s\n", t)
		case Box:
			fmt.Fprintf(&b, "- [ ] %s\n", t)
		case Numbered:
			fmt.Fprintf(&b, "%s. %s\n", x.Mark, t)
		case Sub:
			fmt.Fprintf(&b, "  - %s\n", t)
		case Note:
			if under {
				fmt.Fprintf(&b, "    %s\n", t)
			} else if inList {
				fmt.Fprintf(&b, "  %s\n", t)
			} else {
				fmt.Fprintf(&b, "%s\n\n", t)
			}
		}
		inList, under = item, x.Kind == Sub || x.Kind == Note && under
	}
	_, err := io.WriteString(w, b.String())
	return err
}
