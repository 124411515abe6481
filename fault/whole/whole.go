// Package whole writes a file whole or not at all: the bytes lie complete on the disk
// beside the place that they are for before anything has its name.
//
// It knows paths and bytes, and not what they mean, nor what a person is told when a
// disk is full: its errors are those of the system.
package whole

import (
	"os"
	"path/filepath"
)

// Beside writes data to a new file in the folder of a path and returns its name; it
// is the caller's to give it the path's name, or to remove it. After an error nothing
// is left.
func Beside(path string, data []byte) (name string, err error) {
	tmp, err := os.CreateTemp(filepath.Dir(path), ".halfsplit-*")
	if err != nil {
		return "", err
	}
	defer func() {
		if err != nil {
			_ = os.Remove(tmp.Name())
		}
	}()
	_, err = tmp.Write(data)
	if err == nil {
		err = tmp.Sync()
	}
	if e := tmp.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Chmod(tmp.Name(), 0o644)
	}
	return tmp.Name(), err
}

// Write puts data in a file's place, whatever was there before.
func Write(path string, data []byte) error {
	name, err := Beside(path, data)
	if err != nil {
		return err
	}
	if err = os.Rename(name, path); err != nil {
		_ = os.Remove(name)
	}
	return err
}
