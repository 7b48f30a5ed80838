using System.Runtime.InteropServices;

namespace PatchLang.Scripts;

/// <summary>
/// Makes all mounts read-only if the host started this process in namespaces of its own (Linux, user_namespaces(7)), where it has no
/// network either. Then drops its privileges, so that nothing it runs can undo this.
/// </summary>
internal static partial class ShutIn
{
    // From <linux/mount.h> and <linux/fcntl.h>; mount_setattr(2) has the same number on all architectures.
    private const long MountSetAttribute = 442;
    private const int CurrentFolder = -100;
    private const uint Recursive = 0x8000;
    private const ulong ReadOnly = 1;
    private const ulong Private = 1 << 18;
    private const int NoNewPrivileges = 38;

    /// <summary>Closes the sandbox. Returns whether the process is confined.</summary>
    public static bool Close()
    {
        if (!OperatingSystem.IsLinux() || Environment.GetEnvironmentVariable("PATCHLANG_NAMESPACES") != "own") return false;
        var attributes = new MountAttributes { Set = ReadOnly, Propagation = Private };
        if (SystemCall(MountSetAttribute, CurrentFolder, "/", Recursive, ref attributes, (nuint)Marshal.SizeOf<MountAttributes>()) != 0) return false;
        if (Control(NoNewPrivileges, 1, 0, 0, 0) != 0) return false;
        var header = new CapabilityHeader { Version = 0x20080522 };
        var none = new CapabilityData();
        return SetCapabilities(ref header, ref none) == 0;
    }

    [LibraryImport("libc", EntryPoint = "syscall", StringMarshalling = StringMarshalling.Utf8)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial long SystemCall(long number, int folder, string path, uint flags, ref MountAttributes attributes, nuint size);

    [LibraryImport("libc", EntryPoint = "prctl")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial int Control(int option, nuint a, nuint b, nuint c, nuint d);

    [LibraryImport("libc", EntryPoint = "capset")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial int SetCapabilities(ref CapabilityHeader header, ref CapabilityData data);

    private struct MountAttributes
    {
        public ulong Set;
        public ulong Clear;
        public ulong Propagation;
        public ulong UserNamespace;
    }

    private struct CapabilityHeader
    {
        public uint Version;
        public int Process;
    }

    private struct CapabilityData
    {
        public uint Effective, Permitted, Inheritable, Effective2, Permitted2, Inheritable2;
    }
}
