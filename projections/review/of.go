package review

// Of composes the review.
func Of(in Input) (Review, error) {
	return Review{}, nil
}
