package scpi

import (
	"context"
	"errors"
	"net"
	"os"
	"time"

	"go.bug.st/serial"
)

// tick is how long one read waits before the context is looked at again.
const tick = 20 * time.Millisecond

// A line is an open connection. Read waits for at most a tick and gives 0, nil
// where nothing has come; any error ends the line.
type line interface {
	Read(p []byte) (int, error)
	Write(p []byte) (int, error)
	Close() error
}

// open opens the line to an address.
func open(ctx context.Context, a Address, wait time.Duration) (line, error) {
	if a.Host != "" {
		c, err := (&net.Dialer{Timeout: wait}).DialContext(ctx, "tcp", a.Host)
		if err != nil {
			return nil, err
		}
		return &tcpLine{c, wait}, nil
	}
	p, err := serial.Open(a.Device, &serial.Mode{BaudRate: a.Baud, DataBits: 8, Parity: serial.NoParity, StopBits: serial.OneStopBit})
	if err != nil {
		return nil, err
	}
	if err := errors.Join(p.SetReadTimeout(tick), p.ResetInputBuffer()); err != nil {
		p.Close()
		return nil, err
	}
	return p, nil
}

// A tcpLine gives reads the waits of a line.
type tcpLine struct {
	net.Conn
	wait time.Duration
}

func (l *tcpLine) Read(p []byte) (int, error) {
	if err := l.SetReadDeadline(time.Now().Add(tick)); err != nil {
		return 0, err
	}
	n, err := l.Conn.Read(p)
	if errors.Is(err, os.ErrDeadlineExceeded) {
		err = nil
	}
	return n, err
}

func (l *tcpLine) Write(p []byte) (int, error) {
	if err := l.SetWriteDeadline(time.Now().Add(l.wait)); err != nil {
		return 0, err
	}
	return l.Conn.Write(p)
}
