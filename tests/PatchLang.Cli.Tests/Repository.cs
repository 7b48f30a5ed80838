using System.Diagnostics;
using FluentAssertions;

namespace PatchLang.Cli.Tests;

/// <summary>A git repository in a session's folder.</summary>
internal static class Repository
{
    /// <summary>Makes the folder a repository, whatever the settings of the machine.</summary>
    public static Session AsRepository(this Session session)
    {
        session.Git("init", "--quiet", "--initial-branch=main");
        session.Git("config", "user.name", "The crew");
        session.Git("config", "user.email", "crew@example.invalid");
        session.Git("config", "commit.gpgsign", "false");
        session.Git("config", "core.hooksPath", "none");
        return session;
    }

    /// <summary>Commits all that is there.</summary>
    public static Session Commit(this Session session)
    {
        session.Git("add", "--all");
        session.Git("commit", "--quiet", "--message", "as it stands");
        return session;
    }

    /// <summary>Runs git and gives what it wrote.</summary>
    public static string Git(this Session session, params string[] arguments)
    {
        var start = new ProcessStartInfo("git") { WorkingDirectory = session.Folder, RedirectStandardOutput = true, RedirectStandardError = true, UseShellExecute = false };
        foreach (var argument in arguments) start.ArgumentList.Add(argument);
        return Finish(start);
    }

    /// <summary>Runs a line of shell, with <c>patchlang</c> standing for the program under test.</summary>
    public static string Shell(this Session session, string line, params (string Name, string Value)[] variables)
    {
        var start = new ProcessStartInfo("bash") { WorkingDirectory = session.Folder, RedirectStandardOutput = true, RedirectStandardError = true, UseShellExecute = false };
        start.ArgumentList.Add("-e");
        start.ArgumentList.Add("-c");
        start.ArgumentList.Add(line);
        foreach (var (name, value) in variables) start.Environment[name] = value;
        // The program by its name, as the user has it.
        var bin = Directory.CreateDirectory(Path.Combine(session.Folder, ".git", "bin")).FullName;
        var script = Path.Combine(bin, "patchlang");
        if (!File.Exists(script))
        {
            File.WriteAllText(script, $"#!/bin/sh\nexec {Spawned.Command} \"$@\"\n");
            if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(script, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        }
        start.Environment["PATH"] = bin + Path.PathSeparator + Environment.GetEnvironmentVariable("PATH");
        return Finish(start);
    }

    private static string Finish(ProcessStartInfo start)
    {
        using var process = Process.Start(start)!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        process.ExitCode.Should().Be(0, error.GetAwaiter().GetResult());
        return output;
    }
}
