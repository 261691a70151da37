"""Published standards as data, each limit with its publication, edition and paragraph."""
