package casebook_test

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

// childEnters records readings, and lists of all three modules, one after the
// other, and says what was recorded after each command returned.
func childEnters(args []string) error {
	b, err := casebook.Open(args[0], casebook.Options{NoCopies: true})
	if err != nil {
		return err
	}
	most, err := strconv.Atoi(args[2])
	if err != nil {
		return err
	}
	for n := 0; n < most; n++ {
		r, err := b.AddReading(args[1], volts("M01+", "chassis", 1.25), casebook.By{Who: "child"})
		if err != nil {
			return err
		}
		fmt.Println(r.ID)
		var lists []fault.GroupVolts
		for _, m := range []string{"M01", "M02", "M03"} {
			lists = append(lists, fault.GroupVolts{Module: m, State: "closed", Volts: []float64{3.5, 3.25}, Source: r.ID})
		}
		if err := b.AddGroupVolts(args[1], lists, casebook.By{Who: "child"}); err != nil {
			return err
		}
		fmt.Println("list", r.ID)
	}
	return b.Close()
}

// A child is a running program of this test binary, with the lines it has
// written so far.
type child struct {
	*exec.Cmd
	mu    sync.Mutex
	lines []string
	done  chan struct{}
}

func start(t *testing.T, job string, args ...string) *child {
	t.Helper()
	c := &child{Cmd: exec.Command(os.Args[0], append([]string{"--"}, args...)...), done: make(chan struct{})}
	c.Env = append(os.Environ(), childVar+"="+job)
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	check(t, err)
	check(t, c.Start())
	go func() {
		defer close(c.done)
		r := bufio.NewReader(out)
		for {
			line, err := r.ReadString('\n') // a line cut off is not taken
			if err == io.EOF || err != nil {
				return
			}
			c.mu.Lock()
			c.lines = append(c.lines, strings.TrimSuffix(line, "\n"))
			c.mu.Unlock()
		}
	}()
	return c
}

func (c *child) said() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return append([]string(nil), c.lines...)
}

// wait waits until the child has said so much, or has ended.
func (c *child) wait(lines int) {
	for len(c.said()) < lines {
		select {
		case <-c.done:
			return
		case <-time.After(time.Millisecond):
		}
	}
}

// kill ends the child at once and gives what it had said.
func (c *child) kill() []string {
	c.Process.Kill()
	<-c.done
	c.Wait()
	return c.said()
}

// Whatever moment the program is killed at: the file is sound, the log holds,
// everything that was acknowledged is there, and no command is half there.
func TestKill_AcknowledgedReadingsAreThere(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	path := filepath.Join(t.TempDir(), "kill.casebook")
	b := must(casebook.Create(path, casebook.Options{NoCopies: true})).or(t)
	id, _ := newCase(t, b)
	check(t, b.Close())
	acknowledged := map[string]bool{}
	for n := range rounds(12, 100) {
		c := start(t, "enter", path, id, "100000")
		c.wait(1 + rng.IntN(20))
		time.Sleep(time.Duration(rng.IntN(8000)) * time.Microsecond)
		for _, line := range c.kill() {
			if strings.HasPrefix(line, "error") {
				t.Fatal(line)
			}
			acknowledged[line] = true
		}
		b, err := casebook.Open(path, casebook.Options{NoCopies: true})
		if err != nil {
			t.Fatalf("round %d: %v", n, err)
		}
		allThere(t, b, id, acknowledged)
		check(t, b.Close())
	}
	if len(acknowledged) < 24 {
		t.Errorf("only %d commands were acknowledged: the test shows little", len(acknowledged))
	}
}

// allThere audits a book and compares the case with what was acknowledged.
func allThere(t *testing.T, b *casebook.Book, id string, acknowledged map[string]bool) {
	t.Helper()
	if r := must(b.Audit(context.Background(), "")).or(t); !r.Holds() {
		t.Fatal(r.Problem)
	}
	c := theCase(t, b, id)
	readings, lists := map[string]bool{}, map[string]int{}
	for _, r := range c.Readings {
		readings[r.ID] = true
		if r.Value != 1.25 || r.Red != "M01+" || r.Black != "chassis" || r.State != "closed" {
			t.Fatalf("half a reading: %+v", r)
		}
	}
	for _, g := range c.GroupVolts {
		lists["list "+g.Source]++
		if len(g.Volts) != 2 || g.Volts[0] != 3.5 || g.Volts[1] != 3.25 {
			t.Fatalf("half a list: %+v", g)
		}
	}
	for what, n := range lists {
		if n != 3 {
			t.Fatalf("%d of 3 lists of %s", n, what)
		}
	}
	for what := range acknowledged {
		if !readings[what] && lists[what] == 0 {
			t.Fatalf("%s was acknowledged and is gone", what)
		}
	}
}

// The write-ahead log cut at any byte after a commit: that commit and all before
// it are there, and nothing of the next one is.
func TestCut_CommittedReadingsAreThere(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 2))
	b := newBook(t)
	id, _ := newCase(t, b)
	ends := []int64{size(t, b.Path()+"-wal")}
	for range 6 {
		must(b.AddReading(id, volts("M01+", "chassis", 1.25), anna)).or(t)
		ends = append(ends, size(t, b.Path()+"-wal"))
	}
	main, wal := read(t, b.Path()), read(t, b.Path()+"-wal")
	for range rounds(40, 400) {
		k := rng.IntN(len(ends) - 1)
		cut := ends[k] + rng.Int64N(ends[k+1]-ends[k])
		path := filepath.Join(t.TempDir(), "cut.casebook")
		write(t, path, main)
		write(t, path+"-wal", wal[:cut])
		torn, err := casebook.Open(path, casebook.Options{NoCopies: true})
		check(t, err)
		if got := len(theCase(t, torn, id).Readings); got != k {
			t.Fatalf("cut at %d: %d readings, want %d", cut, got, k)
		}
		holds(t, torn)
		check(t, torn.Close())
	}
}

func size(t testing.TB, path string) int64 {
	t.Helper()
	info, err := os.Stat(path)
	check(t, err)
	return info.Size()
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	check(t, err)
	return data
}

func write(t testing.TB, path string, data []byte) {
	t.Helper()
	check(t, os.WriteFile(path, data, 0o644))
}
