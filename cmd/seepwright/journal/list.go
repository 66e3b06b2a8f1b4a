package journal

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"os"
	"runtime"
	"strings"
	"sync"

	"seepwright/rules/source"
)

// Line is one case of a list: its head and what it proved to be.
type Line struct {
	Path   string
	Head   Head
	Proven []Proven
	Work   []Entry // by Works alone
	Err    error   // it cannot be read
}

// List reads the heads of all cases of the folder, in the order of their names. A head stands
// first in its file, so that ten thousand of them are read at once and no index can go stale;
// where it does not, the whole file is read.
func (s Store) List() ([]Line, error) {
	return s.each(func(l *Line, r *reader) error {
		head, err := r.begin(l.Path)
		if err != nil {
			return err
		}
		var ok bool
		if l.Head, l.Proven, ok = glanceHead(head); ok {
			return nil
		}
		return l.top(head)
	})
}

// Works reads the heads of all cases, and of each log when, at which joint and for how many
// minutes something was opened or done, how retests came out, and when the case was closed or
// opened again; of answers those to the facts that are named, where they are one word or number.
// What was said is not read.
func (s Store) Works(facts ...string) ([]Line, error) {
	return s.each(func(l *Line, r *reader) error {
		data, err := r.whole(l.Path)
		if err != nil {
			return err
		}
		var ok bool
		if l.Head, l.Proven, ok = glanceHead(data); ok {
			if l.Work, ok = glanceLog(data, facts); ok {
				return nil
			}
		}
		c, err := l.open()
		if err != nil {
			return err
		}
		l.Work = work(c.Log, facts)
		return nil
	})
}

// each goes through the cases of the folder on all processors.
func (s Store) each(read func(*Line, *reader) error) ([]Line, error) {
	ids, err := s.ids()
	if err != nil {
		return nil, err
	}
	out := make([]Line, len(ids))
	const batch = 64 // so that nobody waits for the next name
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			r := &reader{}
			for from := range next {
				for i := from; i < min(from+batch, len(ids)); i++ {
					l := Line{Path: s.Path(ids[i])}
					if err := read(&l, r); err != nil {
						l = Line{Path: l.Path, Err: err}
					}
					out[i] = l
				}
			}
		}()
	}
	for i := 0; i < len(ids); i += batch {
		next <- i
	}
	close(next)
	wait.Wait()
	return out, nil
}

// top reads the head where it has another form than seepwright gives it; begin is how the file
// begins.
func (l *Line) top(begin []byte) error {
	buf := bufio.NewReader(bytes.NewReader(begin))
	if len(begin) == headSize {
		f, err := os.Open(l.Path)
		if err != nil {
			return err
		}
		defer f.Close()
		buf = bufio.NewReader(f)
	}
	if top := top(buf); top != nil {
		c := New()
		if bad := c.own(string(top), l.Path); bad.Errors() == 0 && c.Head.ID != "" {
			l.Head, l.Proven = c.Head, c.Proven
			return nil
		}
	}
	_, err := l.open()
	return err
}

// open reads the whole case, and fills in its head. Of what is wrong with it the first fault is
// told.
func (l *Line) open() (*Case, error) {
	c, err := Open(l.Path)
	if err == nil && c == nil {
		err = errors.New("it is gone")
	}
	if err != nil {
		var bad Unreadable
		if errors.As(err, &bad) {
			err = source.Findings(bad.Findings[:min(1, len(bad.Findings))])
		}
		return nil, err
	}
	c.migrate(l.Path)
	l.Head, l.Proven = c.Head, c.Proven
	return c, nil
}

// top is the text of the sections that begin a record: case and proven. It is nil for a file
// that begins otherwise.
func top(r *bufio.Reader) []byte {
	var b bytes.Buffer
	for b.Len() < 64<<10 {
		line, err := r.ReadSlice('\n')
		if len(line) == 0 || err != nil && !errors.Is(err, io.EOF) {
			break
		}
		if !strings.ContainsRune(" \t-#\r\n", rune(line[0])) {
			if b.Len() == 0 && !bytes.HasPrefix(line, []byte("case:")) {
				return nil
			}
			if b.Len() > 0 && !bytes.HasPrefix(line, []byte("proven:")) {
				return b.Bytes()
			}
		}
		b.Write(line)
	}
	return nil
}

// Work reads of one file what Works reads of many.
func Work(path string, facts ...string) (Line, error) {
	l := Line{Path: path}
	c, err := Open(path)
	if err == nil && c == nil {
		err = errors.New("it is gone")
	}
	if err != nil {
		return l, err
	}
	c.migrate(path)
	l.Head, l.Proven, l.Work = c.Head, c.Proven, work(c.Log, facts)
	return l, nil
}
