package journal

import (
	"errors"
	"io"
	"os"
	"syscall"
)

// reader reads files into a buffer that the next one uses again. It asks the system itself:
// registering each file for waiting, as package os does, takes a quarter of the time of a list.
type reader struct{ buf []byte }

// headSize is how much of a file is read for its head; one of more than that is read otherwise.
const headSize = 2048

// begin reads the beginning of a file.
func (r *reader) begin(path string) ([]byte, error) { return r.read(path, headSize) }

// whole reads a file to its end, or to one byte more than a case may have.
func (r *reader) whole(path string) ([]byte, error) { return r.read(path, MaxFile+1) }

func (r *reader) read(path string, most int) ([]byte, error) {
	var fd, err = syscall.Open(path, syscall.O_RDONLY|syscall.O_CLOEXEC, 0)
	if err != nil {
		return r.plainly(path, most)
	}
	defer syscall.Close(fd)
	b := r.buf[:0]
	for len(b) < most {
		if len(b) == cap(b) {
			b = append(b, make([]byte, max(16<<10, len(b)))...)[:len(b)]
		}
		n, err := syscall.Read(fd, b[len(b):min(cap(b), most)])
		if errors.Is(err, syscall.EINTR) {
			continue
		}
		if err != nil {
			return r.plainly(path, most)
		}
		if n <= 0 {
			break
		}
		b = b[:len(b)+n]
	}
	r.buf = b
	return b, nil
}

// plainly reads by package os, which knows more ways round a fault, and words it.
func (r *reader) plainly(path string, most int) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, int64(most)))
}
