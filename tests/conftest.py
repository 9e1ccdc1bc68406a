"""Every process of the tests is fitted to the work as that of the command is, before numpy is loaded."""

from proveout.cli.main import settle

settle()
