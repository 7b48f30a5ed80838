using System.Text.Json;
using System.Text.Json.Serialization;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Transport;

/// <summary>Sends <c>true</c> where there is nothing to say besides: the protocol keeps the options for clients that ask before they rename.</summary>
internal sealed class RenameOptionsConverter : JsonConverter<RenameOptions>
{
    public override RenameOptions Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => throw new NotSupportedException();

    public override void Write(Utf8JsonWriter writer, RenameOptions value, JsonSerializerOptions options)
    {
        if (!value.PrepareProvider)
        {
            writer.WriteBooleanValue(true);
            return;
        }
        writer.WriteStartObject();
        writer.WriteBoolean("prepareProvider", true);
        writer.WriteEndObject();
    }
}
