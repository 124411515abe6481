package scpi_test

import (
	"context"
	"net"
	"os"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"halfsplit/fault/scpi"
	"halfsplit/fault/scpi/simulated"
)

// brief is a timeout that tests wait out; patient one that they never do.
const (
	brief   = 400 * time.Millisecond
	patient = 20 * time.Second
)

// overLines runs a test over each kind of line. serve puts an instrument on it and
// gives its address; cut unplugs it and plug puts it back.
func overLines(t *testing.T, f func(t *testing.T, r rig)) {
	t.Run("tcp", func(t *testing.T) { f(t, tcpRig(t)) })
	t.Run("serial", func(t *testing.T) { f(t, serialRig(t)) })
}

// A rig is an instrument on a line.
type rig struct {
	*simulated.Instrument
	at     scpi.Address
	unplug func()
}

func tcpRig(t *testing.T) rig {
	t.Helper()
	in := simulated.New(nil)
	address, stop, err := in.Listen()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(stop)
	at, err := scpi.ParseAddress(address)
	if err != nil {
		t.Fatal(err)
	}
	return rig{in, at, stop}
}

func (r rig) meter(t *testing.T, timeout time.Duration) *scpi.Meter {
	m := scpi.New(r.at, timeout)
	t.Cleanup(m.Close)
	return m
}

// shows answers every question about a value alike.
func shows(r simulated.Reply) func(string) simulated.Reply {
	return func(q string) simulated.Reply {
		if u := simulated.Usual(q); u != (simulated.Reply{}) {
			return u
		}
		return r
	}
}

func TestMeter_Reads(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		m, ctx := r.meter(t, patient), t.Context()
		if id, err := m.Identify(ctx); err != nil || id != simulated.Identity {
			t.Fatalf("%q, %v", id, err)
		}
		r.Set(func(q string) simulated.Reply {
			switch q {
			case "MEAS:VOLT:DC?":
				return simulated.Line("+1.03456000E+02\r")
			case "MEAS:RES?":
				return simulated.Line("+9.9E+37")
			case "READ?":
				return simulated.Reply{Text: "\r\n\r\n-3.5E+00\r"}
			}
			return simulated.Usual(q)
		})
		for f, want := range map[scpi.Function]scpi.Value{
			scpi.VoltsDC: {Number: 103.456, Answer: "+1.03456000E+02", Identity: simulated.Identity},
			scpi.Ohms:    {Overload: 1, Answer: "+9.9E+37", Identity: simulated.Identity},
			scpi.AsSet:   {Number: -3.5, Answer: "-3.5E+00", Identity: simulated.Identity},
		} {
			if got, err := m.Read(ctx, f); err != nil || got != want {
				t.Errorf("%s: %+v, %v", f, got, err)
			}
		}
	})
}

func TestMeter_Reports(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		queue := []string{`-113,"Undefined header"`, `+0,"No error"`}
		r.Set(func(q string) simulated.Reply {
			if q == "SYST:ERR?" && len(queue) > 0 {
				next := queue[0]
				queue = queue[1:]
				return simulated.Line(next)
			}
			return simulated.Usual(q)
		})
		got, err := r.meter(t, patient).Reports(t.Context())
		if err != nil || len(got) != 1 || got[0] != (scpi.Report{Number: -113, Text: "Undefined header"}) {
			t.Errorf("%+v, %v", got, err)
		}
		r.Set(func(q string) simulated.Reply {
			if q == "SYST:ERR?" {
				return simulated.Line(`-1,"never empty"`)
			}
			return simulated.Usual(q)
		})
		if got, err := r.meter(t, patient).Reports(t.Context()); err != nil || len(got) != 32 {
			t.Errorf("%d of a queue without an end, %v", len(got), err)
		}
	})
}

func TestMeter_AnswersInPieces(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		r.Set(shows(simulated.Reply{Text: "+1.0"}))
		m := r.meter(t, brief)
		_, err := m.Read(t.Context(), scpi.VoltsDC)
		want(t, err, scpi.Late, r.at, `answered no more than "+1.0" within 0.4 s`)
		r.Set(shows(simulated.Line("+2.0E+00"))) // after "+1.0", which is still on a serial line
		sooner(t, m, 2)
	})
}

// sooner reads until it works, for a machine that is slower than a brief timeout;
// another number is wrong at any time.
func sooner(t *testing.T, m *scpi.Meter, number float64) {
	t.Helper()
	for tries := 1; ; tries++ {
		v, err := m.Read(t.Context(), scpi.VoltsDC)
		switch {
		case err == nil && v.Number != number:
			t.Fatalf("got %+v, want %g: an old value", v, number)
		case err == nil:
			return
		case tries == 20:
			t.Fatal("it never reads again:", err)
		}
	}
}

// want holds an error to its kind, the port that it names and what it tells.
func want(t *testing.T, err error, kind scpi.Kind, at scpi.Address, text string) {
	t.Helper()
	k, ok := scpi.KindOf(err)
	if !ok || k != kind || !strings.HasPrefix(err.Error(), "the meter at "+at.String()+" ") || !strings.Contains(err.Error(), text) || strings.ContainsAny(err.Error(), "\n\t") {
		t.Errorf("got %v (kind %d), want kind %d with %q", err, k, kind, text)
	}
}

func TestMeter_WrongAnswersAreNoValues(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		m := r.meter(t, patient)
		for answer, text := range map[string]string{
			"hello":                     "not a number",
			"1.0,2.0":                   "more than one value",
			"9.91E+37":                  "has no number",
			"\x80\x81\x02":              "is the baud rate right",
			"12.5 V":                    "not a number",
			simulated.Identity:          "owed to an earlier question",
			strings.Repeat("9", 3000):   "without an end",
			`-113,"Undefined header"`:   "more than one value",
			"1e5 ; drop everything\x07": "is the baud rate right",
		} {
			r.Set(shows(simulated.Line(answer)))
			_, err := m.Read(t.Context(), scpi.VoltsDC)
			want(t, err, scpi.Wrong, r.at, text)
			r.Set(shows(simulated.Line("5")))
			if v, err := m.Read(t.Context(), scpi.VoltsDC); err != nil || v.Number != 5 {
				t.Errorf("after %.20q: %+v, %v", answer, v, err)
			}
		}
	})
}

// The answer to a question that was given up comes while the next one waits, and is
// not taken for it, however many were given up before.
func TestMeter_ALateAnswerIsNeverTheNextReading(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		m := r.meter(t, brief)
		for range 3 {
			r.Set(shows(simulated.Reply{Text: "+1.0E+00\n", After: brief + brief/2})) // 1 V, too late
			_, err := m.Read(t.Context(), scpi.VoltsDC)
			want(t, err, scpi.Late, r.at, "did not answer within 0.4 s")
			r.Set(shows(simulated.Line("+2.0E+00")))
			sooner(t, m, 2)
		}
	})
}

// A meter so slow that it owes its name twice and a value in between.
func TestMeter_OwedNamesAreCounted(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		m := r.meter(t, brief)
		slow := func(q string) simulated.Reply {
			reply := simulated.Line("+1.0E+00")
			if u := simulated.Usual(q); u != (simulated.Reply{}) {
				reply = u
			}
			reply.After = brief + brief/4
			return reply
		}
		r.Set(slow)
		for range 3 {
			if v, err := m.Read(t.Context(), scpi.VoltsDC); err == nil {
				t.Errorf("a value that came too late: %+v", v)
			}
		}
		r.Set(shows(simulated.Line("+2.0E+00")))
		sooner(t, m, 2)
	})
}

func TestMeter_UnpluggedMidReading(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		m := r.meter(t, patient)
		if _, err := m.Identify(t.Context()); err != nil {
			t.Fatal(err)
		}
		var once sync.Once
		asked := make(chan struct{})
		r.Set(func(string) simulated.Reply {
			once.Do(func() { close(asked) })
			return simulated.Reply{Text: "+1.2", After: 10 * time.Millisecond, HangUp: true}
		})
		go func() { <-asked; r.unplug() }()
		_, err := m.Read(t.Context(), scpi.VoltsDC)
		want(t, err, scpi.Unplugged, r.at, "unplugged or switched off before it answered")
		if _, err := m.Read(t.Context(), scpi.VoltsDC); err == nil {
			t.Error("a value without a meter")
		} else {
			want(t, err, scpi.NoPort, r.at, "could not be connected to")
		}
	})
}

func TestMeter_NothingThere(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	host := l.Addr().String()
	l.Close()
	file := t.TempDir() + "/file"
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for at, text := range map[scpi.Address]string{
		{Host: host}: "nothing takes connections",
		{Device: t.TempDir() + "/none", Baud: 9600}: "no such port",
		{Device: file, Baud: 9600}:                  "no serial port",
	} {
		m := scpi.New(at, patient)
		_, err := m.Read(t.Context(), scpi.AsSet)
		want(t, err, scpi.NoPort, at, text)
		m.Close()
	}
}

func TestMeter_CancelledAndClosed(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		m := r.meter(t, patient)
		ctx, cancel := context.WithCancel(t.Context())
		r.Set(func(q string) simulated.Reply {
			if q == "MEAS:VOLT:DC?" {
				cancel()
				return simulated.Reply{}
			}
			return simulated.Usual(q)
		})
		_, err := m.Read(ctx, scpi.VoltsDC)
		want(t, err, scpi.Cancelled, r.at, "not waited for")
		if _, err := m.Read(ctx, scpi.VoltsDC); err == nil {
			t.Error("a context that is over reads")
		}
		asked := make(chan struct{})
		r.Set(func(q string) simulated.Reply {
			if q == "MEAS:VOLT:DC?" {
				close(asked)
				return simulated.Reply{}
			}
			return simulated.Usual(q)
		})
		go func() { <-asked; m.Close() }()
		_, err = m.Read(t.Context(), scpi.VoltsDC)
		want(t, err, scpi.Closed, r.at, "no longer connected")
		_, err = m.Read(t.Context(), scpi.VoltsDC)
		want(t, err, scpi.Closed, r.at, "no longer connected")
	})
}

// Several callers take turns, each with its own answer.
func TestMeter_CallersTakeTurns(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		r.Set(func(q string) simulated.Reply {
			switch q {
			case "MEAS:VOLT:DC?":
				return simulated.Line("1")
			case "MEAS:RES?":
				return simulated.Line("2")
			}
			return simulated.Usual(q)
		})
		m := r.meter(t, patient)
		var all sync.WaitGroup
		for n := range 8 {
			all.Go(func() {
				f, number := scpi.VoltsDC, 1.0
				if n%2 == 1 {
					f, number = scpi.Ohms, 2
				}
				if v, err := m.Read(t.Context(), f); err != nil || v.Number != number {
					t.Errorf("%s: %+v, %v", f, v, err)
				}
			})
		}
		all.Wait()
	})
}

// A meter that sends by itself is refused: which of its lines is the answer cannot
// be told.
func TestMeter_OneThatSendsByItself(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			for err == nil {
				_, err = c.Write([]byte("+1.0E+00\n"))
				time.Sleep(time.Millisecond)
			}
			c.Close()
		}
	}()
	at := scpi.Address{Host: l.Addr().String()}
	m := scpi.New(at, brief)
	defer m.Close()
	_, err = m.Read(t.Context(), scpi.VoltsDC)
	want(t, err, scpi.Wrong, at, "") // which of the two is met first depends on the machine
}

func TestMeter_LeavesNoGoroutines(t *testing.T) {
	before := runtime.NumGoroutine()
	for range 20 {
		in := simulated.New(shows(simulated.Line("1")))
		address, stop, err := in.Listen()
		if err != nil {
			t.Fatal(err)
		}
		at, _ := scpi.ParseAddress(address)
		m := scpi.New(at, patient)
		if _, err := m.Read(t.Context(), scpi.VoltsDC); err != nil {
			t.Error(err)
		}
		m.Close()
		stop()
	}
	for range 200 { // the runtime may still be ending one
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Errorf("%d goroutines more than before", runtime.NumGoroutine()-before)
}
