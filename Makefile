# Short names for what run.py does; make is not needed.
.PHONY: demo check bench
demo check bench:
	python3 run.py $@
