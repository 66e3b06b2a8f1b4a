package sheet

import (
	"encoding/xml"
	"errors"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"
)

// barred are the elements that could run, fetch or show something that is not drawn.
var barred = []string{"script", "foreignObject", "iframe", "object", "embed", "image", "audio", "video", "a", "handler", "listener", "animate", "set"}

// drawing checks that an SVG stands alone, runs nothing and fetches nothing; else it is left out
// and its table stands in its place.
func drawing(svg string) (template.HTML, error) {
	d := xml.NewDecoder(strings.NewReader(svg))
	depth, roots := 0, 0
	styled := false
	for {
		t, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return "", fmt.Errorf("the picture is no SVG: %w", err)
		}
		switch t := t.(type) {
		case xml.StartElement:
			if depth == 0 {
				if roots++; t.Name.Local != "svg" || roots > 1 {
					return "", errors.New("the picture has to be one svg element")
				}
			}
			depth++
			styled = strings.EqualFold(t.Name.Local, "style")
			if err := harmless(t); err != nil {
				return "", err
			}
		case xml.EndElement:
			depth--
			styled = false
		case xml.CharData:
			s := strings.ToLower(string(t))
			if depth == 0 && strings.TrimSpace(s) != "" {
				return "", errors.New("the picture has text outside its svg element")
			}
			if styled && strings.ContainsAny(s, `\<`) || styled && (strings.Contains(s, "url") || strings.Contains(s, "@import")) {
				return "", errors.New("the picture has a style that could fetch something")
			}
		case xml.Directive, xml.ProcInst, xml.Comment:
			return "", errors.New("the picture has a declaration or a comment, which has no place inside a page")
		}
	}
	if roots != 1 {
		return "", errors.New("the picture is empty")
	}
	return template.HTML(svg), nil //nolint:gosec // checked above, element by element
}

// harmless looks at one element and its attributes.
func harmless(t xml.StartElement) error {
	if slices.ContainsFunc(barred, func(n string) bool { return strings.EqualFold(n, t.Name.Local) }) {
		return fmt.Errorf("the picture has an element %s, which has no place on a sheet", t.Name.Local)
	}
	for _, a := range t.Attr {
		name, value := strings.ToLower(a.Name.Local), strings.ToLower(strings.Join(strings.Fields(a.Value), ""))
		switch {
		case strings.HasPrefix(name, "on"):
			return fmt.Errorf("the picture has an attribute %s, which would run something", a.Name.Local)
		case name == "href" && !strings.HasPrefix(value, "#"), name == "src", strings.Contains(value, "javascript:"),
			strings.Contains(value, "url(") && strings.Contains(strings.ReplaceAll(value, "url(#", ""), "url("):
			return fmt.Errorf("the picture fetches something by its attribute %s", a.Name.Local)
		}
	}
	return nil
}
