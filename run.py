#!/usr/bin/env python3
"""Set groundref up and run it, from a bare machine: only Python 3.11 or newer is needed.

    python3 run.py demo           set up, fly invented lessons, debrief them, say where all that is
    python3 run.py demo --open    the same, and open the page that an instructor works in (Ctrl-C ends it)
    python3 run.py check          set up, then style, types, import order, dependencies, scripts and all tests
    python3 run.py bench          set up, then measure the speed
    python3 run.py setup          set up only, and say where the command is

On Windows write ``py run.py`` for ``python3 run.py``. Everything goes into the folder ``.venv`` beside this
file (or into the folder that the variable GROUNDREF_VENV names); nothing else on the machine is changed.
"""

# This file uses no syntax newer than Python 3.6, so that an old Python gets the sentence below instead of
# a syntax error.
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys

ROOT = os.path.dirname(os.path.abspath(__file__))
OLDEST = (3, 11)
RUNTIME = ("build.txt", "runtime.txt")
DEVELOPMENT = ("build.txt", "dev.txt", "recordings.txt")
WITHOUT_DEPENDENCIES = ("recordings.txt",)  # sample data only: what that package asks for is not used
TYPESCRIPT = ("package.json", "package-lock.json")  # checks the page's scripts; npm installs it


NOT_INSTALLED = (
    "the packages could not be installed (the reason stands above); check the network connection "
    "and run the same command again"
)


def say(sentence):
    print("run.py: " + sentence, flush=True)


def stop(sentence):
    sys.stderr.write("run.py: " + sentence + "\n")
    raise SystemExit(1)


def environment():
    """Return the folder of the virtual environment."""
    return os.environ.get("GROUNDREF_VENV") or os.path.join(ROOT, ".venv")


def program(name):
    """Return the path of a program inside the virtual environment."""
    folder, suffix = ("Scripts", ".exe") if os.name == "nt" else ("bin", "")
    return os.path.join(environment(), folder, name + suffix)


def look_at_python():
    """Stop with one sentence when this Python cannot do it."""
    if sys.version_info < OLDEST:
        stop(
            "this is Python %d.%d, and groundref needs 3.11 or newer; install a newer Python and run "
            "this file with it, such as: python3.13 run.py demo" % sys.version_info[:2]
        )
    if importlib.util.find_spec("venv") is None or importlib.util.find_spec("ensurepip") is None:
        stop(
            "this Python has no virtual environments; on Debian and Ubuntu run: "
            "sudo apt-get install python3-venv"
        )


def fingerprint(files):
    """Return what the environment was made from, so that it is made anew only when that changes."""
    digest = hashlib.sha256(repr((sys.version, ROOT)).encode())
    pinned = (*files, *TYPESCRIPT) if files == DEVELOPMENT else files
    paths = [os.path.join(ROOT, "requirements", name) for name in pinned]
    for path in [*paths, os.path.join(ROOT, "pyproject.toml")]:
        with open(path, "rb") as handle:
            digest.update(handle.read())
    return digest.hexdigest()


def pip(*words):
    """Run pip quietly inside the environment; stop with a sentence when it fails."""
    # What is never imported need not be compiled; the rest is, by its first import.
    quiet = ["-qq", "--disable-pip-version-check"]
    if subprocess.call([program("python"), "-m", "pip", *quiet, "install", "--no-compile", *words]) != 0:
        stop(NOT_INSTALLED)


def npm():
    """Put TypeScript into the environment, as pinned; stop with a sentence when it fails."""
    for name in TYPESCRIPT:
        shutil.copy(os.path.join(ROOT, "requirements", name), environment())
    quiet = ["--ignore-scripts", "--no-audit", "--no-fund", "--no-update-notifier", "--loglevel", "error"]
    if subprocess.call([program("npm"), "ci", *quiet], cwd=environment(), stdout=subprocess.DEVNULL) != 0:
        stop(NOT_INSTALLED)


def set_up(files):
    """Make the virtual environment with the pinned packages and groundref in it."""
    look_at_python()
    keep_bytecode()
    stamp = os.path.join(environment(), "groundref-" + files[1])
    wanted = fingerprint(files)
    if os.path.exists(stamp):
        with open(stamp) as handle:
            if handle.read() == wanted:
                return
    say("setting up in %s (a minute or two, the first time only)" % environment())
    made = subprocess.call([sys.executable, "-m", "venv", environment()])
    if made != 0 or not os.path.exists(program("python")):
        stop(
            "the virtual environment could not be made in %s; on Debian and Ubuntu run: sudo apt-get "
            "install python3-venv; elsewhere see that the folder can be written" % environment()
        )
    for name in files:
        bare = ["--no-deps"] if name in WITHOUT_DEPENDENCIES else []
        pip("--require-hashes", *bare, "-r", os.path.join(ROOT, "requirements", name))
    pip("--no-deps", "--no-build-isolation", "--editable", ROOT)
    if files == DEVELOPMENT:
        npm()
    with open(stamp, "w") as handle:
        handle.write(wanted)


def keep_bytecode():
    """Let no program compile anew what another has compiled: checks start hundreds of them.

    Where the machine asks for no bytecode beside the source, it goes into the environment instead.
    """
    if os.environ.pop("PYTHONDONTWRITEBYTECODE", None):
        os.environ.setdefault("PYTHONPYCACHEPREFIX", os.path.join(environment(), "bytecode"))


def run(name, *words):
    """Run a program of the environment from the root of the project; stop when it fails."""
    say(" ".join([name, *words]))
    code = subprocess.call([program(name), *words], cwd=ROOT)
    if code != 0:
        stop("%s ended with code %d" % (name, code))


def demo(*words):
    set_up(RUNTIME)
    raise SystemExit(subprocess.call([program("groundref"), "demo", "--folder", "out", *words], cwd=ROOT))


def check():
    set_up(DEVELOPMENT)
    run("ruff", "check")
    run("ruff", "format", "--check")
    run("mypy")
    run("lint-imports")
    run("deptry", "src")
    modules = os.path.join(environment(), "node_modules")
    tsc = os.path.join(modules, "typescript", "bin", "tsc")
    run("node", tsc, "--project", ROOT, "--typeRoots", os.path.join(modules, "@types"))
    # One more than there are processors: many tests wait for a browser or a server.
    workers = str((os.cpu_count() or 1) + 1)
    # They are as many as can work, so none of them needs threads of its own for its arithmetic.
    os.environ.update(OPENBLAS_NUM_THREADS="1", POLARS_MAX_THREADS="1")
    run("python", "-m", "pytest", "-n", workers, "--dist", "worksteal", "--durations", "20")


def bench():
    set_up(DEVELOPMENT)
    run("python", os.path.join("bench", "speed.py"))


def setup():
    set_up(RUNTIME)
    say("the command is " + program("groundref"))


TASKS = {"demo": demo, "check": check, "bench": bench, "setup": setup}


def main(words):
    if words == ["demo", "--open"]:
        demo("--open")
    if len(words) != 1 or words[0] not in TASKS:
        sys.stderr.write(__doc__ + "\n")
        raise SystemExit(0 if words in (["-h"], ["--help"]) else 2)
    TASKS[words[0]]()


if __name__ == "__main__":
    try:
        main(sys.argv[1:])
    except KeyboardInterrupt:
        raise SystemExit(130) from None
