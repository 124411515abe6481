package store_test

import (
	"bytes"
	"testing"

	"halfsplit/ui/store"
)

func TestStore_PhotosAreKeptNamedAndUndone(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		s.SetWho("Ada")
		picture := []byte("the bytes of a picture")
		first, err := s.AddPhoto("module:M07", "coolant under M07", picture)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.AddReading(reading(29.1)); err != nil {
			t.Fatal(err)
		}
		if _, err := s.AddPhoto("", "lid", []byte("another")); err != nil {
			t.Fatal(err)
		}
		if _, err := s.AddPhoto("", "nothing", nil); err == nil {
			t.Error("an empty photo is kept")
		}
		names := func() (out []string) {
			all, err := s.Photos()
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range all {
				out = append(out, p.Of+" "+p.Name+" "+p.Who)
			}
			return out
		}
		if n := names(); len(n) != 2 || n[0] != "module:M07 coolant under M07 Ada" || n[1] != " lid Ada" {
			t.Errorf("kept %q", n)
		}
		if first.Size != int64(len(picture)) || s.Steps().Undo != "photo lid" {
			t.Errorf("%d bytes; undo is named %q", first.Size, s.Steps().Undo)
		}
		for _, want := range []string{"photo lid", "M07 29.1 V", "photo coolant under M07"} {
			if name, err := s.Undo(); err != nil || name != want {
				t.Fatalf("undone %q, %v", name, err)
			}
		}
		if n := names(); len(n) != 0 {
			t.Errorf("after undo there are %q", n)
		}
		for range 3 {
			if _, err := s.Redo(); err != nil {
				t.Fatal(err)
			}
		}
		if n := names(); len(n) != 2 || n[0] != "module:M07 coolant under M07 Ada" {
			t.Errorf("after redo there are %q", n)
		}
		if data, err := s.PhotoData(first.ID); err != nil || !bytes.Equal(data, picture) {
			t.Errorf("the bytes are %q, %v", data, err)
		}
		if _, err := s.PhotoData("none"); err == nil {
			t.Error("a photo that is not there has bytes")
		}
	})
}
