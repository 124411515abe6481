package casebook_test

import (
	"bytes"
	"database/sql"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"halfsplit/fault/casebook"
)

// sample is the path of a closed casebook with a case, undone and done again.
func sample(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "sample.casebook")
	b := must(casebook.Create(path, fixed())).or(t)
	furnish(t, b)
	check(t, b.Close())
	return path
}

// Whatever is no casebook of this program's is refused in one line, and neither
// the file nor what lies beside it changes.
func TestOpen_RefusesAndLeavesUntouched(t *testing.T) {
	good := read(t, sample(t))
	sized := func(n int) []byte { return good[:n] }
	with := func(change func(db *sql.DB)) []byte {
		path := filepath.Join(t.TempDir(), "x")
		write(t, path, good)
		db := rawOpen(t, path)
		change(db)
		db.Close()
		return read(t, path)
	}
	exec := func(query string) []byte {
		return with(func(db *sql.DB) { must(db.Exec(query)).or(t) })
	}
	tests := map[string]struct {
		data  []byte
		kind  casebook.Kind
		words string
	}{
		"empty":             {nil, casebook.Foreign, "is empty"},
		"a text":            {[]byte("r1 3.622 V\nr2 3.623 V\n"), casebook.Foreign, "is no casebook"},
		"a long text":       {bytes.Repeat([]byte("no casebook "), 1000), casebook.Foreign, "is no casebook"},
		"another program's": {exec("PRAGMA application_id = 7"), casebook.Foreign, "belongs to another program"},
		"no one's":          {exec("PRAGMA application_id = 0"), casebook.Foreign, "belongs to another program"},
		"newer":             {exec("PRAGMA user_version = 99"), casebook.Newer, "format is 99"},
		"cut in half":       {sized(len(good) / 2), casebook.Damaged, "is damaged"},
		"cut to its header": {sized(100), casebook.Damaged, "is damaged"},
		"cut by a page":     {sized(len(good) - 4096), casebook.Damaged, "is damaged"},
		"a page of zeros":   {zeroed(good, 3), casebook.Damaged, "is damaged"},
		"a page of noise":   {noise(good, 5), casebook.Damaged, "is damaged"},
		"head gone":         {zeroed(good, 0), casebook.Foreign, "is no casebook"},
		"marked as WAL":     {markedWAL(sized(len(good) / 2)), casebook.Damaged, "is damaged"},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "shop.casebook")
			write(t, path, tt.data)
			_, err := casebook.Open(path, casebook.Options{})
			wantKind(t, err, tt.kind, tt.words)
			if !bytes.Equal(read(t, path), tt.data) {
				t.Error("the file was changed")
			}
			if exists(casebook.CopiesFolder(path)) {
				t.Error("a copy was made of it")
			}
		})
	}
}

func zeroed(data []byte, page int) []byte {
	out := bytes.Clone(data)
	clear(out[page*4096 : (page+1)*4096])
	return out
}

func noise(data []byte, page int) []byte {
	out, rng := bytes.Clone(data), rand.New(rand.NewPCG(3, 3))
	for i := page * 4096; i < (page+1)*4096; i++ {
		out[i] = byte(rng.Uint32())
	}
	return out
}

// markedWAL is a file that was copied while it was open.
func markedWAL(data []byte) []byte {
	out := bytes.Clone(data)
	out[18], out[19] = 2, 2
	return out
}

func TestOpen_NoFileAndFolder(t *testing.T) {
	dir := t.TempDir()
	_, err := casebook.Open(filepath.Join(dir, "none.casebook"), casebook.Options{})
	wantKind(t, err, casebook.Missing, "there is no such file")
	_, err = casebook.Open(dir, casebook.Options{})
	wantKind(t, err, casebook.Foreign, "is a folder")
}

// A byte of the file changed at random: it is refused and left as it is, or it
// opens, and then the audit can say something. Nothing panics.
func TestOpen_RandomBytes(t *testing.T) {
	good, rng := read(t, sample(t)), rand.New(rand.NewPCG(5, 8))
	dir := t.TempDir()
	path := filepath.Join(dir, "x.casebook")
	refused, found := 0, 0
	for range rounds(60, 2000) {
		bad := bytes.Clone(good)
		bad[rng.IntN(len(bad))] ^= byte(1 + rng.IntN(255))
		write(t, path, bad)
		b, err := casebook.Open(path, casebook.Options{NoCopies: true})
		if err != nil {
			refused++
			if !bytes.Equal(read(t, path), bad) {
				t.Fatalf("%v, and the file was changed", err)
			}
		} else {
			if r, err := b.Audit(t.Context(), ""); err != nil || !r.Holds() {
				found++
			}
			check(t, b.Close())
		}
		for _, s := range []string{"", "-wal", "-shm", "-journal"} {
			os.Remove(path + s)
		}
	}
	if refused == 0 || found == 0 {
		t.Errorf("%d refused, %d found by the audit: the test shows little", refused, found)
	}
}

// Paths with characters that mean something in a URL.
func TestOpen_AnyPath(t *testing.T) {
	for _, name := range []string{"a b.casebook", "100%.casebook", "was?.casebook", "#1.casebook", "a&b=c.casebook", "früh.casebook", "%41.casebook", "a;b:c.casebook"} {
		path := filepath.Join(t.TempDir(), name)
		b, err := casebook.Create(path, casebook.Options{NoCopies: true})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		id, _ := newCase(t, b)
		check(t, b.Close())
		if !exists(path) {
			t.Errorf("%s is not where it should be", name)
		}
		b = must(casebook.Open(path, casebook.Options{NoCopies: true})).do(t, closing)
		theCase(t, b, id)
	}
}

func TestOpen_RelativePath(t *testing.T) {
	t.Chdir(t.TempDir())
	check(t, must(casebook.Create("x.casebook", casebook.Options{NoCopies: true})).or(t).Close())
	b := must(casebook.Open("./x.casebook", casebook.Options{NoCopies: true})).or(t)
	holds(t, b)
	check(t, b.Close())
}

// Every connection has the pragmas that it needs.
func TestOpen_Pragmas(t *testing.T) {
	b := must(casebook.Open(sample(t), casebook.Options{NoCopies: true})).do(t, closing)
	for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "busy_timeout": "5000",
		"trusted_schema": "0", "cell_size_check": "1", "recursive_triggers": "1"} {
		var got string
		check(t, b.Writer().QueryRow("PRAGMA "+pragma).Scan(&got))
		if got != want {
			t.Errorf("%s is %s, want %s", pragma, got, want)
		}
	}
	path := b.Path()
	check(t, b.Close())
	if h := read(t, path); h[18] != 1 || exists(path+"-wal") || exists(path+"-shm") {
		t.Error("a closed casebook is more than one file")
	}
	check(t, b.Close()) // again does nothing
	_, err := b.Cases("")
	wantKind(t, err, casebook.Failed, "was closed")
}

func TestCreate_NeverReplaces(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.casebook")
	write(t, path, []byte("mine"))
	_, err := casebook.Create(path, casebook.Options{})
	wantKind(t, err, casebook.Exists, "is there already")
	if string(read(t, path)) != "mine" {
		t.Error("the file was changed")
	}
	lone := filepath.Join(t.TempDir(), "lone.casebook")
	write(t, lone+"-wal", []byte("somebody's"))
	_, err = casebook.Create(lone, casebook.Options{})
	wantKind(t, err, casebook.Exists, "lone.casebook-wal")
	_, err = casebook.Create(filepath.Join(t.TempDir(), "no", "such.casebook"), casebook.Options{})
	wantKind(t, err, casebook.Missing, "its folder does not exist")
}

// A program cut off while SQLite was changing the file in place, as it does when
// a casebook is closed or brought up to date: the change is taken back.
func TestOpen_HotJournal(t *testing.T) {
	path := sample(t)
	db := rawOpen(t, path)
	tx := must(db.Begin()).or(t)
	must(tx.Exec("PRAGMA cache_size = 1")).or(t)
	must(tx.Exec("DROP TRIGGER blobs_kept_1")).or(t)
	must(tx.Exec("UPDATE blobs SET bytes = zeroblob(100000)")).or(t)
	if !exists(path + "-journal") {
		t.Fatal("there is no journal: the test shows nothing")
	}
	torn := filepath.Join(t.TempDir(), "torn.casebook")
	write(t, torn, read(t, path))
	write(t, torn+"-journal", read(t, path+"-journal"))
	check(t, tx.Rollback())
	b := must(casebook.Open(torn, casebook.Options{NoCopies: true})).do(t, closing)
	holds(t, b)
	if exists(torn + "-journal") {
		t.Error("the journal is still there")
	}
}
