package report_test

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"
)

// A pdfFile is what the tests read of a PDF: its objects by number, looked up as a
// reader does, by the table of offsets at its end.
type pdfFile struct {
	objects map[int][]byte
	pages   [][]byte // drawing instructions of each page, in order
	boxes   []string // the size of each page
}

// readPDF follows the offsets and the tree of pages; whatever does not fit fails.
func readPDF(t *testing.T, data []byte) pdfFile {
	t.Helper()
	if !bytes.HasPrefix(data, []byte("%PDF-1.")) || !bytes.HasSuffix(bytes.TrimSpace(data), []byte("%%EOF")) {
		t.Fatal("no head or no end of a PDF")
	}
	start := number(t, find(t, data, `startxref\s+(\d+)\s+%%EOF`))
	table := data[start:]
	if !bytes.HasPrefix(table, []byte("xref")) {
		t.Fatal("the offset of the table leads elsewhere")
	}
	f := pdfFile{objects: map[int][]byte{}}
	entries := regexp.MustCompile(`(?m)^(\d{10}) (\d{5}) ([nf])`).FindAllSubmatch(table, -1)
	for i, e := range entries {
		if string(e[3]) == "f" {
			continue
		}
		at := number(t, e[1])
		head := fmt.Sprintf("%d 0 obj", i)
		if !bytes.HasPrefix(data[at:], []byte(head)) {
			t.Fatalf("object %d is not where the table says", i)
		}
		end := bytes.Index(data[at:], []byte("endobj"))
		if end < 0 {
			t.Fatalf("object %d has no end", i)
		}
		f.objects[i] = data[at+len(head) : at+end]
	}
	root := f.objects[number(t, find(t, table, `/Root (\d+) 0 R`))]
	tree := f.objects[number(t, find(t, root, `/Pages (\d+) 0 R`))]
	kids := regexp.MustCompile(`(\d+) 0 R`).FindAllSubmatch(find(t, tree, `/Kids \[([^\]]*)\]`), -1)
	if n := number(t, find(t, tree, `/Count (\d+)`)); n != len(kids) {
		t.Fatalf("%d pages are told and %d are there", n, len(kids))
	}
	box := regexp.MustCompile(`/MediaBox \[([^\]]*)\]`)
	for _, k := range kids {
		page := f.objects[number(t, k[1])]
		size := box.FindSubmatch(page)
		if size == nil {
			size = box.FindSubmatch(tree)
		}
		f.boxes = append(f.boxes, string(size[1]))
		f.pages = append(f.pages, stream(t, f.objects[number(t, find(t, page, `/Contents (\d+) 0 R`))]))
	}
	return f
}

func find(t *testing.T, data []byte, pattern string) []byte {
	t.Helper()
	m := regexp.MustCompile(pattern).FindSubmatch(data)
	if m == nil {
		t.Fatalf("no %s", pattern)
	}
	return m[1]
}

func number(t *testing.T, b []byte) int {
	t.Helper()
	n, err := strconv.Atoi(string(b))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func stream(t *testing.T, object []byte) []byte {
	t.Helper()
	at := bytes.Index(object, []byte("stream\n")) + len("stream\n")
	long := number(t, find(t, object, `/Length (\d+)`))
	body := object[at : at+long]
	if !bytes.Contains(object[:at], []byte("FlateDecode")) {
		return body
	}
	z, err := zlib.NewReader(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	out, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// texts are a page's texts in the order in which they are drawn. A text is a string
// of two-byte characters with its marks escaped.
func texts(page []byte) []string {
	var out []string
	for _, m := range regexp.MustCompile(`(?s)\(((?:\\.|[^\\)])*)\) ?Tj`).FindAllSubmatch(page, -1) {
		raw := m[1]
		var plain []byte
		for i := 0; i < len(raw); i++ {
			if raw[i] == '\\' && i+1 < len(raw) {
				i++
				if raw[i] == 'r' {
					plain = append(plain, '\r')
					continue
				}
			}
			plain = append(plain, raw[i])
		}
		var u []uint16
		for i := 0; i+1 < len(plain); i += 2 {
			u = append(u, uint16(plain[i])<<8|uint16(plain[i+1]))
		}
		out = append(out, string(utf16.Decode(u)))
	}
	return out
}

// Every colour that is set is a grey.
func coloured(page []byte) string {
	for _, m := range regexp.MustCompile(`([\d.]+) ([\d.]+) ([\d.]+) (?:rg|RG)`).FindAllSubmatch(page, -1) {
		if !bytes.Equal(m[1], m[2]) || !bytes.Equal(m[2], m[3]) {
			return string(m[0])
		}
	}
	return ""
}

func TestTexts_ReadBack(t *testing.T) {
	if got := texts([]byte("BT 1 2 Td (\x00A\x03\xa9\x00\\() Tj ET")); len(got) != 1 || got[0] != "AΩ(" {
		t.Errorf("%q", got)
	}
	if coloured([]byte("0.5 0.5 0.5 rg")) != "" || coloured([]byte("1.0 0.0 0.0 RG")) == "" {
		t.Error("colours are not told from greys")
	}
	if strings.Join(texts(nil), "") != "" {
		t.Error("texts from nothing")
	}
}
