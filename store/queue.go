package store

import "sync"

// A job is a write that waits for its turn.
type job struct {
	write Write
	done  func(Result) // may be nil
}

// A queue hands jobs to the writer in the order they came. It has no upper end: a screen must never
// wait for the disk.
type queue struct {
	mu     sync.Mutex
	more   *sync.Cond
	jobs   []job
	closed bool
}

func newQueue() *queue {
	q := &queue{}
	q.more = sync.NewCond(&q.mu)
	return q
}

// push reports false when the queue is closed.
func (q *queue) push(j job) bool {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.closed {
		return false
	}
	q.jobs = append(q.jobs, j)
	q.more.Signal()
	return true
}

// pop waits for a job; ok is false when the queue is closed and drained.
func (q *queue) pop() (j job, ok bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	for len(q.jobs) == 0 {
		if q.closed {
			return job{}, false
		}
		q.more.Wait()
	}
	j = q.jobs[0]
	q.jobs[0] = job{} // let go of what it holds
	q.jobs = q.jobs[1:]
	return j, true
}

// close lets no more jobs in; those inside are still handed out.
func (q *queue) close() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.closed = true
	q.more.Broadcast()
}
