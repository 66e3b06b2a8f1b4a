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
	Err    error // it cannot be read
}

// List reads the heads of all cases of the folder, in the order of their names. A head stands
// first in its file, so that ten thousand of them are read at once and no index can go stale;
// where it does not, the whole file is read.
func (s Store) List() ([]Line, error) {
	ids, err := s.ids()
	if err != nil {
		return nil, err
	}
	out := make([]Line, len(ids))
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			buf := bufio.NewReaderSize(nil, 4096)
			for i := range next {
				out[i] = s.line(ids[i], buf)
			}
		}()
	}
	for i := range ids {
		next <- i
	}
	close(next)
	wait.Wait()
	return out, nil
}

func (s Store) line(id string, buf *bufio.Reader) Line {
	l := Line{Path: s.Path(id)}
	f, err := os.Open(l.Path)
	if err != nil {
		l.Err = err
		return l
	}
	defer f.Close()
	buf.Reset(f)
	if top := top(buf); top != nil {
		c := New()
		if bad := c.own(string(top), l.Path); bad.Errors() == 0 && c.Head.ID != "" {
			l.Head, l.Proven = c.Head, c.Proven
			return l
		}
	}
	c, err := Open(l.Path)
	if err == nil && c == nil {
		err = errors.New("it is gone")
	}
	if err != nil {
		var bad Unreadable
		if l.Err = err; errors.As(err, &bad) {
			l.Err = source.Findings(bad.Findings[:min(1, len(bad.Findings))])
		}
		return l
	}
	c.migrate(l.Path)
	l.Head, l.Proven = c.Head, c.Proven
	return l
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
