package casebook

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
)

// Packings of a blob.
const (
	asIs     = "plain"
	deflated = "deflate"
)

// smaller asks for whichever packing takes less room: a drawing of a large pack is
// stored anew with every change of it.
const smaller = ""

// maxBlob keeps one photo or file from filling the memory of a small machine.
const maxBlob = 256 << 20 // bytes

// store keeps bytes under their own hash and returns it. The same bytes are kept
// once.
func (c *command) store(data []byte, packing string) (hash string, err error) {
	if len(data) > maxBlob {
		return "", refuse(fmt.Sprintf("this is larger than %d MB and cannot be kept in a casebook", maxBlob>>20))
	}
	sum := sha256.Sum256(data)
	hash = hex.EncodeToString(sum[:])
	if has, err := one(c.tx, `SELECT 1 FROM blobs WHERE sha256 = ?`, []any{hash}, new(int)); has || err != nil {
		return hash, err
	}
	if packing != asIs {
		packed, err := pack(data)
		if err != nil {
			return "", err
		}
		if packing == deflated || len(packed) < len(data) {
			data, packing = packed, deflated
		} else {
			packing = asIs
		}
	}
	if data == nil {
		data = []byte{} // not NULL
	}
	return hash, c.exec(`INSERT INTO blobs (sha256, packing, bytes) VALUES (?, ?, ?)`, hash, packing, data)
}

// load gives stored bytes back.
func load(q queryer, hash string) ([]byte, error) {
	var packing string
	var data []byte
	ok, err := one(q, `SELECT packing, bytes FROM blobs WHERE sha256 = ?`, []any{hash}, &packing, &data)
	switch {
	case err != nil:
		return nil, err
	case !ok:
		return nil, &Error{Kind: Damaged, Text: "bytes that a row refers to are missing"}
	case packing == asIs:
		return data, nil
	case packing == deflated:
		return unpack(data)
	}
	return nil, &Error{Kind: Damaged, Text: "stored bytes are packed in a way that is not known"}
}

func pack(data []byte) ([]byte, error) {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.DefaultCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func unpack(data []byte) ([]byte, error) {
	out, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(data)), maxBlob+1))
	switch {
	case err != nil:
		return nil, &Error{Damaged, "", "packed bytes cannot be unpacked", err}
	case len(out) > maxBlob:
		return nil, &Error{Kind: Damaged, Text: "packed bytes are larger than anything that is kept"}
	}
	return out, nil
}
