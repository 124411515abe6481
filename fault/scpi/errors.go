package scpi

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"strconv"
	"syscall"
	"time"

	"go.bug.st/serial"
)

// A Kind of failure.
type Kind uint8

// The kinds.
const (
	NoPort    Kind = iota // the line could not be opened
	Unplugged             // the line ended
	Late                  // no answer, or not the whole of one, in time
	Wrong                 // an answer that is none to this question
	Cancelled             // by whoever asked
	Closed                // the Meter was closed
)

// An Error says where a meter is and what happened, in plain words.
type Error struct {
	Kind Kind
	At   string // the address
	Text string // goes on after "the meter at …"
	Err  error
}

func (e *Error) Error() string { return "the meter at " + e.At + " " + e.Text }

// Unwrap is the cause.
func (e *Error) Unwrap() error { return e.Err }

// KindOf is the kind of a failure of this package; ok is false for another error.
func KindOf(err error) (k Kind, ok bool) {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind, true
	}
	return 0, false
}

func (m *Meter) fail(k Kind, err error, format string, args ...any) error {
	return &Error{k, m.at.String(), fmt.Sprintf(format, args...), err}
}

// opening tells why a line could not be opened.
func (m *Meter) opening(ctx context.Context, err error) error {
	var port *serial.PortError
	var host *net.DNSError
	why := "could not be connected to: " + err.Error()
	switch isPort := errors.As(err, &port); {
	case ctx.Err() != nil:
		return m.stopped(ctx)
	case isPort && port.Code() == serial.PortBusy:
		why = "could not be connected to: another program has the port open"
	case isPort && port.Code() == serial.PermissionDenied, errors.Is(err, fs.ErrPermission):
		why = "could not be connected to: this person may not use the port"
	case isPort && port.Code() == serial.InvalidSpeed:
		why = "could not be connected to: the port does not have this baud rate"
	case isPort && port.Code() == serial.PortNotFound, errors.Is(err, fs.ErrNotExist):
		why = "could not be connected to: there is no such port; is it plugged in"
	case isPort && port.Code() == serial.InvalidSerialPort:
		why = "could not be connected to: this is no serial port"
	case errors.As(err, &host):
		why = "could not be connected to: no machine of this name is known"
	case errors.Is(err, syscall.ECONNREFUSED):
		why = "could not be connected to: nothing takes connections at this port"
	case errors.Is(err, context.DeadlineExceeded), timedOut(err):
		why = "could not be connected to within " + seconds(m.timeout)
	}
	return m.fail(NoPort, err, "%s", why)
}

func timedOut(err error) bool {
	var t net.Error
	return errors.As(err, &t) && t.Timeout()
}

// stopped tells that the caller's context ended.
func (m *Meter) stopped(ctx context.Context) error {
	if errors.Is(ctx.Err(), context.DeadlineExceeded) {
		return m.fail(Late, ctx.Err(), "did not answer in the time that it was given")
	}
	return m.fail(Cancelled, ctx.Err(), "was not waited for any longer")
}

func seconds(d time.Duration) string {
	return strconv.FormatFloat(d.Seconds(), 'g', 3, 64) + " s"
}
