/* The one system library that an older wine lacks: Windows 10 has it, and Rust's standard library asks it for random
 * bytes. This one asks the older function that wine has (SystemFunction036, documented as RtlGenRandom). For tests only. */
#include <windows.h>

BOOLEAN NTAPI SystemFunction036(PVOID buffer, ULONG length);

__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE data, SIZE_T length)
{
    while (length > 0) {
        ULONG part = length > 0x10000000 ? 0x10000000 : (ULONG)length;
        if (!SystemFunction036(data, part))
            return FALSE;
        data += part;
        length -= part;
    }
    return TRUE;
}
