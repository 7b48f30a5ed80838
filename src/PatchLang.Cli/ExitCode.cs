namespace PatchLang.Cli;

/// <summary>The program's exit codes.</summary>
internal static class ExitCode
{
    /// <summary>No errors or warnings; notes and hints may have been shown.</summary>
    public const int Clean = 0;

    /// <summary>An error or a warning was found, or a file is not tidy.</summary>
    public const int Found = 1;

    /// <summary>The command could not do its work: its input can't be read, or it was used wrongly.</summary>
    public const int Failed = 2;
}
