namespace PatchLang.Cli;

/// <summary>What the program's exit code says.</summary>
internal static class ExitCode
{
    /// <summary>Nothing to mend; notes and hints may have been shown.</summary>
    public const int Clean = 0;

    /// <summary>An error or a warning was found, or a file is not tidy.</summary>
    public const int Found = 1;

    /// <summary>The question could not be answered: an input that can't be read, or a wrong use of the program.</summary>
    public const int Failed = 2;
}
