package picture

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/format"
	"halfsplit/fault/whole"
	"halfsplit/topology"
	"halfsplit/ui/casefile"
	"halfsplit/ui/files"
)

// Usage is what the command takes.
const Usage = "[-bw] [-sketch] [-seen above|below] [-tier N] [-scale N] [-paper a4|letter|a3|tabloid] [-dpi N] LAYOUT.json|CASE.json OUT.png|OUT.pdf"

// About is what the command does, in a line.
const About = "a layout drawn to scale on a page, as PDF or PNG"

// DefaultDPI is how many dots to the inch a PNG has unless told otherwise.
const DefaultDPI = 150

// A request is the command's arguments as they were understood.
type request struct {
	in, out string
	seen    string
	dpi     float64
	o       Options
}

// Command draws a layout or a case's layout into a file and returns the exit code: 0,
// or 2 with one line that says what is wrong, and then nothing was written.
func Command(args []string, now time.Time, stdout, stderr io.Writer) int {
	if len(args) == 1 && slices.Contains([]string{"-h", "-help", "--help"}, args[0]) {
		fmt.Fprintf(stdout, "usage: halfsplit picture %s\n%s\n", Usage, About)
		return 0
	}
	said, err := command(args, now)
	if err != nil {
		fmt.Fprintln(stderr, format.OneLine(err.Error()))
		return 2
	}
	fmt.Fprintln(stdout, said)
	return 0
}

func command(args []string, now time.Time) (said string, err error) {
	r, err := parse(args)
	if err != nil {
		return "", fmt.Errorf("halfsplit picture: %w; usage: halfsplit picture %s", err, Usage)
	}
	l, head, demo, err := read(r.in)
	if err != nil {
		return "", err
	}
	r.o.Date, r.o.Head, r.o.Demo = now, head, demo
	if r.seen != "" && l.SeenFrom == "" {
		return "", fmt.Errorf("%s: /seen_from: is not recorded, so that the drawing cannot be shown as seen from %s", r.in, r.seen)
	}
	r.o.Below = r.seen != "" && l.SeenFrom != r.seen
	s, err := New(l, r.o)
	if err != nil {
		return "", fmt.Errorf("%s: %w", r.in, err)
	}
	data, err := s.Encode(r.out, r.dpi)
	if err != nil {
		return "", fmt.Errorf("%s: %w", r.in, err)
	}
	if err := whole.Write(r.out, data); err != nil {
		return "", fmt.Errorf("%s: cannot be written: %w", r.out, err)
	}
	return fmt.Sprintf("%s: %s, %s", r.out, s.ScaleWords(), s.Paper), nil
}

// ScaleWords is the scale as it is written: 1:10, or not to scale.
func (s *Sheet) ScaleWords() string {
	if s.Scale == 0 {
		return "not to scale"
	}
	return fmt.Sprintf("1:%d", s.Scale)
}

// Encode is the page as a file of the kind that a name ends in: .pdf, or .png with so
// many dots to the inch.
func (s *Sheet) Encode(name string, dpi float64) ([]byte, error) {
	var data bytes.Buffer
	var err error
	switch strings.ToLower(filepath.Ext(name)) {
	case ".pdf":
		err = s.WritePDF(&data)
	case ".png":
		err = s.WritePNG(&data, dpi)
	default:
		err = fmt.Errorf("a picture's name ends in .png or .pdf, and %q does not", name)
	}
	return data.Bytes(), err
}

// parse takes the options and the two files.
func parse(args []string) (r request, err error) {
	r.dpi = DefaultDPI
	var names []string
	for i := 0; i < len(args); i++ {
		name, isOption := strings.CutPrefix(args[i], "-")
		if !isOption {
			names = append(names, args[i])
			continue
		}
		name, value, joined := strings.Cut(strings.TrimPrefix(name, "-"), "=")
		if name == "bw" && !joined {
			r.o.Grey = true
			continue
		}
		if name == "sketch" && !joined {
			r.o.Sketch = true
			continue
		}
		if !slices.Contains([]string{"seen", "tier", "scale", "paper", "dpi"}, name) {
			return r, fmt.Errorf("unknown option %q", args[i])
		}
		if !joined {
			if i++; i == len(args) {
				return r, fmt.Errorf("-%s needs a value", name)
			}
			value = args[i]
		}
		if err := r.set(name, value); err != nil {
			return r, err
		}
	}
	if len(names) != 2 {
		return r, fmt.Errorf("a layout or a case and the picture to write are expected, and the files given are %d", len(names))
	}
	r.in, r.out = names[0], names[1]
	if !slices.Contains([]string{".png", ".pdf"}, strings.ToLower(filepath.Ext(r.out))) {
		return r, fmt.Errorf("the second file is the picture to write and ends in .png or .pdf, and is %q", r.out)
	}
	return r, nil
}

// set takes one option's value.
func (r *request) set(name, value string) error {
	n, err := strconv.Atoi(strings.TrimPrefix(value, "1:"))
	switch name {
	case "seen":
		if r.seen = value; value != "above" && value != "below" {
			return fmt.Errorf("-seen is above or below, and not %q", value)
		}
	case "paper":
		if r.o.Paper = strings.ToLower(value); !slices.Contains(Papers, r.o.Paper) {
			return fmt.Errorf("-paper is one of %s, and not %q", strings.Join(Papers, ", "), value)
		}
	case "tier":
		if r.o.Tier = &n; err != nil {
			return fmt.Errorf("-tier is a whole number, 0 the lowest, and not %q", value)
		}
	case "scale":
		if r.o.Scale = n; err != nil || n < 1 || n > 10000 {
			return fmt.Errorf("-scale is a whole number from 1 to 10000, 10 for 1:10, and not %q", value)
		}
	case "dpi":
		if r.dpi = float64(n); err != nil || n < 20 || n > 1200 {
			return fmt.Errorf("-dpi is a whole number from 20 to 1200, and not %q", value)
		}
	}
	return nil
}

// read takes the layout of a file, with the head of the log that a case was written at.
func read(path string) (l topology.Layout, h fault.Head, demo bool, err error) {
	data, sort, err := files.Read(path)
	if err != nil {
		return l, h, false, err
	}
	if sort == files.LayoutSort {
		l, _, err = format.ReadLayout(path, data)
		return l, h, IsDemo(l), err
	}
	c, err := casefile.Open(path)
	return c.Layout, headOf(c), IsDemo(c.Layout), err
}

// headOf is the head that a case file carries from the casebook it was written out of.
func headOf(c fault.Case) fault.Head {
	var at struct {
		Event  int64  `json:"event"`
		SHA256 string `json:"sha256"`
	}
	if json.Unmarshal(c.Extra["log_head"], &at) != nil || len(at.SHA256) != 64 {
		return fault.Head{}
	}
	return fault.Head{Seq: at.Event, Hash: at.SHA256}
}

// IsDemo says that a layout is the invented one of the demo case, unchanged.
func IsDemo(l topology.Layout) bool {
	d, err := casefile.Demo()
	return err == nil && reflect.DeepEqual(d.Layout, l)
}
