namespace PatchLang.Declarations;

/// <summary>Keys (see <see cref="Draft.Explains"/>) for what a missing cable explains.</summary>
internal static class MissingCables
{
    /// <summary>Some cable is missing, perhaps the one that should have used a loom.</summary>
    public const string Any = "a cable is missing";

    /// <summary>Nothing is plugged into a port.</summary>
    public static string Into(string port) => $"no cable into {port}";

    /// <summary>Two ports have no cable between them, in whichever direction a signal should go.</summary>
    public static string Between(string port, string other) =>
        string.CompareOrdinal(port, other) < 0 ? $"no cable between {port} and {other}" : $"no cable between {other} and {port}";
}
