package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"
	"unicode"

	"seepwright/rules/source"
)

// Store is a folder of cases, one file each.
type Store struct{ Dir string }

// Folder is the folder of a user's cases where none is named: seepwright/cases in the data
// folder (XDG Base Directory Specification; on Windows the local application data).
func Folder(env func(string) string) (string, error) {
	if d := env("XDG_DATA_HOME"); filepath.IsAbs(d) {
		return filepath.Join(d, "seepwright", "cases"), nil
	}
	if d := env("LOCALAPPDATA"); runtime.GOOS == "windows" && d != "" {
		return filepath.Join(d, "seepwright", "cases"), nil
	}
	if d := env("HOME"); d != "" {
		return filepath.Join(d, ".local", "share", "seepwright", "cases"), nil
	}
	return "", errors.New("there is no home folder to keep cases in: say where with --dir FOLDER")
}

// Path is the file of a case of that id.
func (s Store) Path(id string) string { return filepath.Join(s.Dir, id+".yaml") }

// Create gives a new case its id, from its day and its title, and its file. Nothing that is
// there is written over.
func (s Store) Create(c *Case) (path string, err error) {
	if err := os.MkdirAll(s.Dir, 0o700); err != nil {
		return "", fmt.Errorf("cannot make the folder for cases: %w", err)
	}
	c.Head.Form = Form
	base := c.Head.Opened.Format(time.DateOnly)
	if w := slug(c.Head.Title); w != "" {
		base += "-" + w
	}
	for n := 1; n < 10000; n++ {
		c.Head.ID = base
		if n > 1 {
			c.Head.ID = fmt.Sprintf("%s-%d", base, n)
		}
		path = s.Path(c.Head.ID)
		// The empty file takes the name, so that of two who come at once each gets one of his own.
		f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return "", fmt.Errorf("cannot write in %s: %w", s.Dir, err)
		}
		f.Close()
		return path, s.save(path, c)
	}
	return "", fmt.Errorf("there are too many cases called %s: give it another title", base)
}

// slug is a title as a part of a file name.
func slug(title string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(title) {
		switch {
		case r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			b.WriteRune(r)
			gap = false
		default:
			gap = true
		}
		if b.Len() >= 40 {
			break
		}
	}
	return b.String()
}

// Find gives the file of a case: by its id, by a part of it that only one case has, or by the
// name of a file.
func (s Store) Find(name string) (string, error) {
	if name == "" {
		return "", errors.New("which case? seepwright case list shows them")
	}
	if strings.ContainsAny(name, `/\`) || filepath.Ext(name) == ".yaml" || filepath.Ext(name) == ".yml" {
		if _, err := os.Stat(name); err != nil {
			return "", fmt.Errorf("the case %s cannot be opened: %w", name, reasonOf(err))
		}
		return name, nil
	}
	ids, err := s.ids()
	if err != nil {
		return "", err
	}
	if slices.Contains(ids, name) {
		return s.Path(name), nil
	}
	var hits []string
	for _, id := range ids {
		if strings.Contains(id, strings.ToLower(name)) {
			hits = append(hits, id)
		}
	}
	switch {
	case len(hits) == 1:
		return s.Path(hits[0]), nil
	case len(hits) > 1:
		return "", fmt.Errorf("%d cases have %q in their name: %s. Write more of it", len(hits), name, strings.Join(hits[:min(len(hits), 5)], ", "))
	case len(ids) == 0:
		return "", fmt.Errorf("there is no case in %s yet: begin one with seepwright case new", s.Dir)
	}
	hint := source.DidYouMean(name, ids)
	if hint == "" {
		hint = "seepwright case list shows them"
	}
	return "", fmt.Errorf("no case is called %q: %s", name, hint)
}

func reasonOf(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// ids lists the cases of the folder by name.
func (s Store) ids() ([]string, error) {
	list, err := os.ReadDir(s.Dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("the folder of cases cannot be read: %w", err)
	}
	var out []string
	for _, e := range list {
		if id, ok := strings.CutSuffix(e.Name(), ".yaml"); ok && !e.IsDir() && !strings.HasPrefix(id, ".") {
			out = append(out, id)
		}
	}
	return out, nil
}
