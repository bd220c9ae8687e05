"""Runs a study in shares on a Dask cluster, here of two local workers, and joins them.

    pip install "dask[distributed]"
    python examples/dask_shares.py scenarios/four-covers.toml --out out --program target/release/overwinter

Any scheduler works the same way: a share is one command that can be started again at any time, on any
machine that sees the scenario, its weather files and the folder. The cases, their numbers and what is
drawn at random follow from the scenario alone, so that the joined tables are those of one run to the bit.
"""

import argparse
import pathlib
import subprocess
import sys

from dask.distributed import Client, LocalCluster

SOME_CASES_FAILED = 1


def run_share(program, scenario, folder, number, shares):
    """Runs one share; its finished parts stay in the folder, so that a retry goes on from them."""
    ended = subprocess.run(
        [program, "run", scenario, "--out", folder, "--shard", f"{number}/{shares}", "--threads", "1"],
        capture_output=True,
        text=True,
    )
    if ended.returncode not in (0, SOME_CASES_FAILED):
        raise RuntimeError(f"share {number} of {shares}: {ended.stderr.strip()}")
    return ended.stdout.strip()


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("scenario")
    parser.add_argument("--out", required=True, help="folder for the tables")
    parser.add_argument("--shares", type=int, default=4, help="more shares than workers even out their load")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--program", default="overwinter")
    options = parser.parse_args()

    shares_folder = str(pathlib.Path(options.out).absolute()) + "-shares"
    cluster = LocalCluster(
        n_workers=options.workers, threads_per_worker=1, dashboard_address=None
    )
    with cluster, Client(cluster) as client:
        tasks = [
            client.submit(
                run_share,
                options.program,
                str(pathlib.Path(options.scenario).absolute()),
                shares_folder,
                number,
                options.shares,
                retries=2,
                pure=False,
            )
            for number in range(1, options.shares + 1)
        ]
        for told in client.gather(tasks):
            print(told)
    joined = subprocess.run([options.program, "gather", shares_folder, "--out", options.out])
    return joined.returncode


if __name__ == "__main__":
    sys.exit(main())
