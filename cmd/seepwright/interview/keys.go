package interview

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"regexp"
	"time"

	"golang.org/x/term"
)

// keys stands between the terminal and the line editor. The editor asks the terminal where
// the cursor is and waits for ever if there is no reply; and what was typed ahead is lost to
// it. Here a reply that does not come is made up from the size of the screen, and each line
// goes to the question it was typed for.
type keys struct {
	in, out *os.File
	bytes   chan byte
	failed  chan error
	ahead   []byte // typed, not yet given to the editor
	reply   []byte // the terminal's reply, on its way to the editor
	ended   bool   // Ctrl-D was typed
	err     error
	stop    <-chan os.Signal
}

// patience is how long a terminal has to say where the cursor is.
const patience = 700 * time.Millisecond

const askCursor = "\x1b[6n"

var cursorIs = regexp.MustCompile(`\x1b\[\d+;\d+R`)

var (
	errSilent = errors.New("the terminal does not say where its cursor is")
	errSignal = errors.New("interrupted") // Ctrl-C, before the editor had taken over the keys
)

func newKeys(in, out *os.File, stop <-chan os.Signal) (*keys, error) {
	k := &keys{in: in, out: out, stop: stop, bytes: make(chan byte, 4096), failed: make(chan error, 1)}
	old, err := term.MakeRaw(int(in.Fd()))
	if err != nil {
		return nil, err
	}
	go k.pump()
	fmt.Fprint(out, askCursor)
	_, ok := k.await()
	if err := term.Restore(int(in.Fd()), old); err != nil {
		return nil, err
	}
	if !ok {
		return k, errSilent
	}
	return k, nil
}

// pump reads the terminal for as long as the program lives.
func (k *keys) pump() {
	buf := make([]byte, 1024)
	for {
		n, err := k.in.Read(buf)
		for _, c := range buf[:n] {
			k.bytes <- c
		}
		if err != nil {
			k.failed <- err
			close(k.bytes)
			return
		}
	}
}

// await takes the terminal's reply out of what comes in; all else was typed ahead.
func (k *keys) await() ([]byte, bool) {
	limit := time.After(patience)
	for {
		if at := cursorIs.FindIndex(k.ahead); at != nil {
			reply := bytes.Clone(k.ahead[at[0]:at[1]])
			k.ahead = append(k.ahead[:at[0]:at[0]], k.ahead[at[1]:]...)
			return reply, true
		}
		select {
		case c, ok := <-k.bytes:
			if !ok {
				return nil, false
			}
			k.ahead = append(k.ahead, c)
		case <-limit:
			return nil, false
		}
	}
}

// Fd is the terminal's.
func (k *keys) Fd() uintptr { return k.in.Fd() }

// Read gives the editor the terminal's reply when it waits for one, else keys: a whole
// escape sequence, or one letter at a time, so that nothing of the next line is lost.
func (k *keys) Read(p []byte) (int, error) {
	if len(k.reply) > 0 {
		n := copy(p, k.reply)
		k.reply = k.reply[n:]
		return n, nil
	}
	if len(k.ahead) == 0 {
		select {
		case <-k.stop:
			return 0, errSignal
		case c, ok := <-k.bytes:
			if !ok {
				if k.err == nil {
					k.err = <-k.failed
				}
				return 0, k.err
			}
			k.ahead = append(k.ahead, c)
		}
	}
	for more := true; more && len(k.ahead) < 64; {
		select {
		case c, ok := <-k.bytes:
			if more = ok; ok {
				k.ahead = append(k.ahead, c)
			}
		default:
			more = false
		}
	}
	n := 1
	if k.ahead[0] == 0x1b {
		n = sequence(k.ahead)
	}
	switch k.ahead[0] {
	case 0: // Ctrl-D typed before the editor had taken over the keys comes as this
		k.ahead[0] = 0x04
		k.ended = true
	case 0x04:
		k.ended = true
	}
	n = copy(p, k.ahead[:n])
	k.ahead = k.ahead[n:]
	return n, nil
}

// sequence is the length of the escape sequence at the beginning.
func sequence(b []byte) int {
	if len(b) < 2 || b[1] != '[' && b[1] != 'O' {
		return min(2, len(b))
	}
	for i := 2; i < len(b); i++ {
		if b[i] >= 0x40 && b[i] <= 0x7e {
			return i + 1
		}
	}
	return len(b)
}

// screen is the terminal to write to; a question for the cursor's place is followed up here.
func (k *keys) screen() *screen { return &screen{k} }

type screen struct{ k *keys }

// Fd is the terminal's.
func (s *screen) Fd() uintptr { return s.k.out.Fd() }

// Write writes. When the editor asks for the cursor's place the reply is waited for, but
// not for ever.
func (s *screen) Write(p []byte) (int, error) {
	n, err := s.k.out.Write(p)
	if err != nil || !bytes.Contains(p, []byte(askCursor)) {
		return n, err
	}
	reply, ok := s.k.await()
	if !ok {
		w, h, e := term.GetSize(int(s.k.out.Fd()))
		if e != nil || w == 0 {
			w, h = 80, 24
		}
		reply = []byte(fmt.Sprintf("\x1b[%d;%dR", h, w))
	}
	s.k.reply = append(s.k.reply, reply...)
	return n, nil
}
