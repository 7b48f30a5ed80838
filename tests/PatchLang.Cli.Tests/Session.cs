using System.Text;
using PatchLang.Cli;

namespace PatchLang.Cli.Tests;

/// <summary>A folder, mostly one of its own, and the program run in it, with what it wrote.</summary>
public sealed class Session : IDisposable
{
    private readonly bool isOwn;

    public Session()
    {
        Folder = Directory.CreateTempSubdirectory("patchlang-").FullName;
        isOwn = true;
    }

    /// <summary>Runs in a folder of the repository, which it only reads.</summary>
    public Session(string folder) => Folder = folder;

    public string Folder { get; }

    public string Input { set => OpenInput = () => new MemoryStream(Encoding.UTF8.GetBytes(value)); }

    public Func<Stream> OpenInput { get; set; } = () => Stream.Null;

    public Dictionary<string, string> Environment { get; } = [];

    public bool IsInteractive { get; set; }

    public Session With(string path, string text) => With(path, Encoding.UTF8.GetBytes(text));

    public Session With(string path, byte[] bytes)
    {
        var full = PathOf(path);
        Directory.CreateDirectory(Path.GetDirectoryName(full)!);
        File.WriteAllBytes(full, bytes);
        return this;
    }

    public string PathOf(string path) => Path.Combine(Folder, path);

    public string Read(string path) => File.ReadAllText(PathOf(path));

    public Outcome Run(params string[] arguments)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var terminal = new Terminal(OpenInput, output, error, Folder)
        {
            IsInteractive = IsInteractive,
            Environment = name => Environment.GetValueOrDefault(name),
        };
        var code = CommandLine.Run(arguments, terminal);
        return new Outcome(code, output.ToString(), error.ToString());
    }

    public void Dispose()
    {
        if (isOwn) Directory.Delete(Folder, recursive: true);
    }
}

/// <summary>What a run of the program gave.</summary>
public sealed record Outcome(int ExitCode, string Output, string Error)
{
    public string[] Lines => Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
}
