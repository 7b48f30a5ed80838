using System.ComponentModel;
using System.Diagnostics;
using System.Text;

namespace PatchLang.Cli.Files;

/// <summary>Why <c>git</c> failed, in words for the user.</summary>
internal sealed class GitException(string message) : Exception(message);

/// <summary>The files of a plan as of a revision. Runs the <c>git</c> program, which must be installed.</summary>
internal sealed class GitFiles
{
    private const string Link = "120000";

    private readonly string folder;
    private readonly string commit;

    /// <param name="folder">The root plan's folder.</param>
    /// <param name="revision">The revision as the user named it.</param>
    /// <exception cref="GitException">There is no <c>git</c>, no repository, or no such revision.</exception>
    public GitFiles(string folder, string revision)
    {
        this.folder = folder;
        if (Ask("rev-parse", "--is-inside-work-tree").Output.Trim() != "true") throw new GitException("the plan is in no git repository");
        var found = Ask("rev-parse", "--verify", "--quiet", "--end-of-options", revision + "^{commit}");
        commit = found.Code == 0 && found.Output.Trim() is { Length: > 0 } name && name.All(char.IsAsciiHexDigit) ? name : throw new GitException($"git knows no revision {revision}");
    }

    /// <summary>Reads a file: a <see cref="FileReader"/>.</summary>
    public FileReading Read(string path)
    {
        if (Path.IsPathRooted(path) || path.Split('/').Contains("..")) return FileReading.Failed(FileProblem.Outside);
        // Mode, type and name of the stored object: "100644 blob 5f3a…<tab>path".
        var entry = Ask("ls-tree", "-z", commit, "--", $":(literal){path}").Output.Split('\t')[0].Split(' ');
        if (entry.Length < 3) return FileReading.Failed(FileProblem.NotFound);
        if (entry[0] == Link) return FileReading.Failed(FileProblem.Unreadable, "it is a link, which is not followed in a revision");
        if (entry[1] != "blob") return FileReading.Failed(FileProblem.Unreadable, "it is a folder");
        using var process = Start("cat-file", "blob", entry[2]);
        var error = process.StandardError.ReadToEndAsync();
        var reading = PlanText.Read(path, process.StandardOutput.BaseStream);
        if (reading.Problem == FileProblem.TooLarge) process.Kill();
        process.WaitForExit();
        if (process.ExitCode != 0 && reading.Problem != FileProblem.TooLarge) return FileReading.Failed(FileProblem.Unreadable, FirstLine(error.GetAwaiter().GetResult()));
        return reading;
    }

    private (int Code, string Output) Ask(params string[] arguments)
    {
        using var process = Start(arguments);
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        var said = error.GetAwaiter().GetResult();
        if (process.ExitCode != 0 && said.Contains("dubious ownership", StringComparison.Ordinal)) throw new GitException(FirstLine(said));
        return (process.ExitCode, output);
    }

    private Process Start(params string[] arguments)
    {
        var start = new ProcessStartInfo("git")
        {
            WorkingDirectory = folder,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            StandardOutputEncoding = Encoding.UTF8,
            UseShellExecute = false,
        };
        start.Environment["GIT_OPTIONAL_LOCKS"] = "0"; // we only read, so no lock is needed
        start.Environment["LC_ALL"] = "C";
        foreach (var argument in arguments) start.ArgumentList.Add(argument);
        try
        {
            var process = Process.Start(start)!;
            process.StandardInput.Close();
            return process;
        }
        catch (Win32Exception e)
        {
            throw new GitException(Directory.Exists(folder) ? $"the program git can't be started: {FirstLine(e.Message)}" : "the plan's folder is not there");
        }
    }

    private static string FirstLine(string text) => text.Trim().Split('\n')[0];
}
