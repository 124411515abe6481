// Package simulated is a meter that speaks SCPI, for tests and for showing the
// window at work: on loopback TCP, or on whatever line a test has opened. It
// measures nothing. What it answers, how late and how wrongly, is told to it.
package simulated

import (
	"bufio"
	"io"
	"net"
	"strings"
	"sync"
	"time"
)

// Identity is what an instrument answers to *IDN?.
const Identity = "Simulated,Bench meter,000123,1.0"

// A Reply is what an instrument does with one question.
type Reply struct {
	Text   string        // sent as it is: with its end, or without
	After  time.Duration // waited before it is sent
	HangUp bool          // the line is ended after Text
}

// Line is an answer with the usual end.
func Line(text string) Reply { return Reply{Text: text + "\n"} }

// An Instrument answers questions. Its fields may be changed under Set while it
// serves.
type Instrument struct {
	mu     sync.Mutex
	answer func(query string) Reply
	asked  []string
}

// New is an instrument that answers by a function; queries come without their
// end. nil answers *IDN? and an empty error queue, and nothing else.
func New(answer func(query string) Reply) *Instrument {
	return &Instrument{answer: answer}
}

// Usual is what an instrument answers to questions that are not about a value.
func Usual(query string) Reply {
	switch strings.ToUpper(query) {
	case "*IDN?":
		return Line(Identity)
	case "SYST:ERR?":
		return Line(`+0,"No error"`)
	}
	return Reply{}
}

// Set changes how it answers from now on.
func (i *Instrument) Set(answer func(query string) Reply) {
	i.mu.Lock()
	defer i.mu.Unlock()
	i.answer = answer
}

// Asked are the questions so far.
func (i *Instrument) Asked() []string {
	i.mu.Lock()
	defer i.mu.Unlock()
	return append([]string(nil), i.asked...)
}

func (i *Instrument) reply(query string) Reply {
	i.mu.Lock()
	defer i.mu.Unlock()
	i.asked = append(i.asked, query)
	if i.answer == nil {
		return Usual(query)
	}
	return i.answer(query)
}

// Serve answers on a line until it ends. Questions are taken one after the other,
// as a meter does: while one waits, those behind it wait too.
func (i *Instrument) Serve(line io.ReadWriteCloser) {
	defer line.Close()
	in := bufio.NewScanner(line)
	for in.Scan() {
		r := i.reply(strings.TrimSpace(in.Text()))
		time.Sleep(r.After)
		if _, err := io.WriteString(line, r.Text); err != nil || r.HangUp {
			return
		}
	}
}

// Listen serves every connection to a port of loopback, one after the other, until
// stop is called. It gives the address as a person types it.
func (i *Instrument) Listen() (address string, stop func(), err error) {
	return i.ListenAt("127.0.0.1:0")
}

// ListenAt does the same at a port that was chosen.
func (i *Instrument) ListenAt(at string) (address string, stop func(), err error) {
	l, err := net.Listen("tcp", at)
	if err != nil {
		return "", nil, err
	}
	var all sync.WaitGroup
	var mu sync.Mutex
	open := map[net.Conn]bool{}
	all.Go(func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			mu.Lock()
			open[c] = true
			mu.Unlock()
			all.Go(func() {
				i.Serve(c)
				mu.Lock()
				delete(open, c)
				mu.Unlock()
			})
		}
	})
	return "tcp://" + l.Addr().String(), func() {
		l.Close()
		mu.Lock()
		for c := range open {
			c.Close()
		}
		mu.Unlock()
		all.Wait()
	}, nil
}
