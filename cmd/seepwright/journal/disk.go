package journal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"seepwright/rules/source"
)

// Open reads the case kept in a file. A file that is not there gives nil without an error; a
// broken one, or one of a newer seepwright, is an error with line and column and is left as
// it is.
func Open(path string) (*Case, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("the saved case cannot be opened: %w", err)
	}
	defer f.Close()
	c, bad := Read(f, path)
	if bad.Errors() > 0 {
		return nil, Unreadable{path, bad}
	}
	return c, nil
}

// Unreadable is a saved case that cannot be read. Nothing is written over it.
type Unreadable struct {
	Path     string
	Findings source.Findings
}

func (u Unreadable) Error() string {
	return fmt.Sprintf("%v\nThe saved case %s is kept as it is. Mend it, or start another with --save %s", u.Findings, u.Path, Free(u.Path))
}

func (u Unreadable) Unwrap() error { return u.Findings }

// Save writes a case so that the file is either the old one or the new one, whole, whatever
// happens meanwhile.
func Save(path string, c *Case) error { return WriteWhole(path, c) }

// WriteWhole writes anything to a file, whole or not at all: into a new file of the same
// folder first, which takes the name when it is safely on the disk.
func WriteWhole(path string, what io.WriterTo) (err error) {
	dir := filepath.Dir(path)
	tmp, err := os.CreateTemp(dir, pending(path))
	if err != nil {
		return fmt.Errorf("cannot write in %s: %w", dir, err)
	}
	defer func() {
		if err != nil {
			tmp.Close()
			os.Remove(tmp.Name())
			err = fmt.Errorf("cannot save %s: %w", path, err)
		}
	}()
	if _, err = what.WriteTo(tmp); err != nil {
		return err
	}
	mode := fs.FileMode(0o644)
	if st, e := os.Stat(path); e == nil {
		mode = st.Mode().Perm()
	}
	if err = tmp.Chmod(mode); err != nil {
		return err
	}
	if err = tmp.Sync(); err != nil {
		return err
	}
	if err = tmp.Close(); err != nil {
		return err
	}
	if err = os.Rename(tmp.Name(), path); err != nil {
		return err
	}
	if d, e := os.Open(dir); e == nil { // so that the new name outlives a power cut; not every system can
		_ = d.Sync()
		d.Close()
	}
	return nil
}

// pending is the pattern of names that a file has while it is being written.
func pending(path string) string { return "." + filepath.Base(path) + "-*.tmp" }

// sweep takes away what was left of a case by a writer that was killed. The case must be held.
func sweep(path string) {
	for _, p := range []string{path, beside(path, ".good")} {
		left, _ := filepath.Glob(filepath.Join(filepath.Dir(p), pending(p)))
		for _, f := range left {
			_ = os.Remove(f)
		}
	}
}

// Free is the first of NAME, NAME-2, NAME-3 ... that no file has.
func Free(path string) string {
	ext := filepath.Ext(path)
	base := strings.TrimSuffix(path, ext)
	for n := 1; ; n++ {
		name := path
		if n > 1 {
			name = fmt.Sprintf("%s-%d%s", base, n, ext)
		}
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) || n > 9999 {
			return name
		}
	}
}
