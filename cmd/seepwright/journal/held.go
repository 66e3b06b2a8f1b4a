package journal

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/gofrs/flock"
)

// Held is a case that is open for writing; nobody else can write it meanwhile.
type Held struct {
	Path string
	Case *Case
	lock *flock.Flock
}

// Hold opens a case for writing. A saved interview or a plain answers file is brought to the
// newest form: it gets a head.
func Hold(path string) (*Held, error) {
	l, err := lock(path)
	if err != nil {
		return nil, err
	}
	sweep(path)
	c, err := Open(path)
	if err == nil && c == nil {
		err = fmt.Errorf("the case %s is not there", path)
	}
	if err != nil {
		_ = l.Unlock()
		return nil, Offer(path, err)
	}
	h := &Held{Path: path, Case: c, lock: l}
	h.Case.migrate(path)
	return h, nil
}

// Free gives the case back.
func (h *Held) Free() { _ = h.lock.Unlock() }

// Save writes the case, and a copy that the next mistake with an editor cannot reach.
func (h *Held) Save() error { return keep(h.Path, h.Case) }

func (s Store) save(path string, c *Case) error {
	l, err := lock(path)
	if err != nil {
		return err
	}
	defer l.Unlock()
	return keep(path, c)
}

func keep(path string, c *Case) error {
	// What cannot be read back must never take the place of what can.
	var b strings.Builder
	if _, err := c.WriteTo(&b); err != nil {
		return err
	}
	if _, bad := Read(strings.NewReader(b.String()), path); bad.Errors() > 0 {
		return fmt.Errorf("the case was not saved, because it could not be read back; the old state is kept: %w", bad)
	}
	if err := Save(path, c); err != nil {
		return err
	}
	good := beside(path, ".good")
	if err := WriteWhole(good, c); err != nil {
		return err
	}
	if st, err := os.Stat(path); err == nil {
		return os.Chmod(good, st.Mode().Perm()) // who may not read the case may not read its copy
	}
	return nil
}

// beside is a hidden file of the same folder that belongs to a case.
func beside(path, ext string) string {
	name := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	return filepath.Join(filepath.Dir(path), "."+name+ext)
}

// Good is the last state of a case that was written by seepwright and can be read; nil where
// there is none.
func Good(path string) *Case {
	c, err := Open(beside(path, ".good"))
	if err != nil {
		return nil
	}
	return c
}

// Broken is a case that cannot be read, and the last good state of it.
type Broken struct {
	Unreadable
	Last *Case
}

func (b Broken) Error() string {
	s := fmt.Sprintf("%v\nThe case %s is kept as it is: mend the line, or ", b.Findings, b.Path)
	if b.Last == nil {
		return s + "begin another."
	}
	return s + fmt.Sprintf("take the last good state%s with\n  seepwright case restore %s", lastOf(b.Last), b.Path)
}

// Offer adds the last good state to the error of a case that cannot be read.
func Offer(path string, err error) error {
	var bad Unreadable
	if errors.As(err, &bad) {
		return Broken{bad, Good(path)}
	}
	return err
}

// lastOf says how old a state is.
func lastOf(c *Case) string {
	if n := len(c.Log); n > 0 {
		return " (" + c.Log[n-1].At.Local().Format("2006-01-02 15:04") + ")"
	}
	return ""
}

// Restore puts the last good state in the place of a file that cannot be read, which is kept
// under the name that it gives.
func Restore(path string) (kept string, err error) {
	l, err := lock(path)
	if err != nil {
		return "", err
	}
	defer l.Unlock()
	if c, err := Open(path); err == nil && c != nil {
		return "", fmt.Errorf("%s can be read; nothing is restored", path)
	}
	last := Good(path)
	if last == nil {
		return "", fmt.Errorf("there is no good state of %s to go back to", path)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return "", fmt.Errorf("the broken file cannot be read: %w", reasonOf(err))
	}
	kept = Free(strings.TrimSuffix(path, filepath.Ext(path)) + ".broken")
	if err := WriteWhole(kept, strings.NewReader(string(data))); err != nil {
		return "", err
	}
	return kept, Save(path, last)
}

// lock keeps others from writing a case. The lock goes with the process, so nothing is left
// behind by one that was killed.
func lock(path string) (*flock.Flock, error) {
	name := beside(path, ".lock")
	l := flock.New(name)
	ok, err := l.TryLock()
	if err != nil {
		return nil, fmt.Errorf("the case %s cannot be locked: %w", path, err)
	}
	if !ok {
		who := ""
		if data, err := os.ReadFile(name); err == nil && len(data) > 0 {
			who = " (process " + strings.TrimSpace(string(data)) + ")"
		}
		return nil, fmt.Errorf("the case %s is open in another seepwright%s: end that one first", path, who)
	}
	_ = os.WriteFile(name, []byte(strconv.Itoa(os.Getpid())+"\n"), 0o600)
	return l, nil
}

// migrate brings a case to the newest form. Form 0 has no head: the name of its file becomes
// the id, and the time of its last change the day on which it was opened.
func (c *Case) migrate(path string) {
	if c.Head.Form >= Form {
		return
	}
	if c.Head.ID == "" {
		c.Head.ID = strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	}
	if c.Head.Title == "" {
		c.Head.Title = c.Head.ID
	}
	if c.Head.Opened.IsZero() {
		c.Head.Opened = time.Now()
		if st, err := os.Stat(path); err == nil {
			c.Head.Opened = st.ModTime()
		}
		c.Head.Opened = c.Head.Opened.Truncate(time.Second)
	}
	c.Head.Form = Form
}
