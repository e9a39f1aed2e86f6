"""Per cent of allowable: members and connections of timber, each usable on one piece or one bolt alone."""
