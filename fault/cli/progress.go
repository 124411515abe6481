package cli

import (
	"fmt"
	"io"
	"os"
)

// A progress is one line on a terminal that says how far long work is.
type progress struct {
	out  io.Writer // nil = nobody looks
	last string
}

// progressOn writes to a terminal; anything else gets nothing.
func progressOn(out io.Writer) *progress {
	f, isFile := out.(*os.File)
	if !isFile {
		return &progress{}
	}
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return &progress{}
	}
	return &progress{out: out}
}

func (p *progress) show(done, total int) {
	line := fmt.Sprintf("%d %%, %d of %d packs; Ctrl C ends it", 100*done/max(1, total), done, total)
	if p.out == nil || line == p.last {
		return
	}
	p.last = line
	fmt.Fprintf(p.out, "\r\x1b[K%s", line)
}

// clear leaves the line free.
func (p *progress) clear() {
	if p.out != nil && p.last != "" {
		fmt.Fprint(p.out, "\r\x1b[K")
	}
}
