using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>One server, with a client that supports everything, for all tests of a class that leave it as they found it.</summary>
public sealed class SharedServer : IAsyncLifetime
{
    internal ServerProcess Server { get; private set; } = null!;

    public async Task InitializeAsync() => Server = await ServerProcess.Start(Clients.Full);

    public Task DisposeAsync()
    {
        Server.Dispose();
        return Task.CompletedTask;
    }
}
