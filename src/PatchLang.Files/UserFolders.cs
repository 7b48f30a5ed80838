namespace PatchLang.Files;

/// <summary>The folders for the user's own data, by the conventions of each system (on Linux the XDG Base Directory Specification).</summary>
public static class UserFolders
{
    /// <summary>For settings, which the user chose.</summary>
    public static string Settings => Path.Combine(Base("XDG_CONFIG_HOME", ".config", "Library/Application Support", Environment.SpecialFolder.ApplicationData), "patchlang");

    /// <summary>For a cache, which can be recreated.</summary>
    public static string Cache => Path.Combine(Base("XDG_CACHE_HOME", ".cache", "Library/Caches", Environment.SpecialFolder.LocalApplicationData), "patchlang");

    private static string Base(string variable, string onLinux, string onMac, Environment.SpecialFolder onWindows)
    {
        if (Environment.GetEnvironmentVariable(variable) is { Length: > 0 } set && Path.IsPathFullyQualified(set)) return set;
        if (OperatingSystem.IsWindows()) return Environment.GetFolderPath(onWindows);
        return Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), OperatingSystem.IsMacOS() ? onMac : onLinux);
    }
}
