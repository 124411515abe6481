package casebook

import (
	"errors"
	"io/fs"
	"syscall"
)

var errPermission = fs.ErrPermission

// diskFull says whether the system refused to write for want of room: no space,
// a quota, or the largest size that a file may have.
func diskFull(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) || errors.Is(err, syscall.EFBIG)
}

func notWritable(err error) bool { return errors.Is(err, syscall.EROFS) }
