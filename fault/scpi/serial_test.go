//go:build linux || darwin || freebsd

package scpi_test

import (
	"io"
	"sync"
	"testing"

	"github.com/creack/pty"

	"halfsplit/fault/scpi"
	"halfsplit/fault/scpi/simulated"
)

// serialRig puts an instrument on the far end of a pseudo-terminal.
func serialRig(t *testing.T) rig {
	t.Helper()
	far, near, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	// The near end is held open: it stays between two connections, as a port does.
	in := simulated.New(nil)
	served := make(chan struct{})
	go func() {
		in.Serve(nopCloser{far})
		close(served)
	}()
	var once sync.Once
	unplug := func() {
		once.Do(func() {
			near.Close()
			far.Close()
		})
	}
	t.Cleanup(func() { unplug(); <-served })
	return rig{in, scpi.Address{Device: near.Name(), Baud: 9600}, unplug}
}

type nopCloser struct{ io.ReadWriter }

func (nopCloser) Close() error { return nil }
