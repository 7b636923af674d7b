package storetest

import "syscall"

// endWithParent lets the kernel end the server when the test process is gone.
func endWithParent(attr *syscall.SysProcAttr) { attr.Pdeathsig = syscall.SIGINT }
