namespace PatchLang.Cli;

/// <summary>A command's input and output: the user's terminal, or what a test puts in its place.</summary>
/// <param name="openInput">Opens standard input, once.</param>
/// <param name="output">Takes results.</param>
/// <param name="error">Takes error messages.</param>
/// <param name="folder">The folder that relative paths start from.</param>
internal sealed class Terminal(Func<Stream> openInput, TextWriter output, TextWriter error, string folder)
{
    /// <summary>Takes results.</summary>
    public TextWriter Output { get; } = output;

    /// <summary>Takes error messages.</summary>
    public TextWriter Error { get; } = error;

    /// <summary>The folder that relative paths start from.</summary>
    public string Folder { get; } = folder;

    /// <summary>Whether the output goes to a person at a terminal.</summary>
    public bool IsInteractive { get; init; }

    /// <summary>Looks up an environment variable.</summary>
    public Func<string, string?> Environment { get; init; } = _ => null;

    /// <summary>Whether the output is coloured.</summary>
    public bool HasColour { get; private set; }

    /// <summary>Opens standard input.</summary>
    public Stream OpenInput() => openInput();

    /// <summary>Opens standard output for bytes, bypassing <see cref="Output"/>.</summary>
    public Func<Stream> OpenOutput { get; init; } = () => Stream.Null;

    /// <summary>Decides whether to use colour.</summary>
    /// <param name="wish"><c>always</c>, <c>never</c>, or <c>auto</c>: on a terminal that can show it, unless <c>NO_COLOR</c> is set.</param>
    public void ChooseColour(string wish) => HasColour = wish switch
    {
        "always" => true,
        "never" => false,
        _ => IsInteractive && string.IsNullOrEmpty(Environment("NO_COLOR")) && Environment("TERM") != "dumb",
    };

    /// <summary>The text in a tone, if the output is coloured.</summary>
    public string Paint(Tone tone, string text) => HasColour ? $"\e[{(int)tone}m{text}\e[0m" : text;

    /// <summary>Reports a failure in one line.</summary>
    public void Complain(string line)
    {
        Output.Flush(); // so that both appear in the order in which they were written
        Say(line);
    }

    /// <summary>Reports a failure in one line, even if the output can't be flushed. If that fails, too, only the exit code tells.</summary>
    public void Say(string line)
    {
        try
        {
            Error.WriteLine($"patchlang: {Readable.Line(line)}");
        }
        catch (IOException)
        {
            // No one is listening.
        }
    }
}

/// <summary>How a piece of output is styled; the value is the parameter of the control function SGR (ECMA-48, "select graphic rendition").</summary>
internal enum Tone
{
    /// <summary>Headings and names.</summary>
    Strong = 1,

    /// <summary>Less important text.</summary>
    Quiet = 2,

    /// <summary>An error.</summary>
    Error = 31,

    /// <summary>A fix, and code in prose.</summary>
    Mend = 32,

    /// <summary>A warning.</summary>
    Warning = 33,

    /// <summary>A hint.</summary>
    Hint = 35,

    /// <summary>A note.</summary>
    Note = 36,
}
